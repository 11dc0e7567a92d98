"""Pounds and kilograms of a needle row; rows made up, the pound by its definition."""

import pytest
from tests.rules.made_up import changed

from thawline.rules.reading import examined
from thawline.rules.weights import wrong_weights


def _found(lb, kg):
    swap = ("most_lb = 110\nmost_kg = 50", f"most_lb = {lb}\nmost_kg = {kg}")
    return [(s.code, s.key) for s in wrong_weights(examined(changed(swap)).leaves)]


@pytest.mark.parametrize(
    ("lb", "kg", "codes"),
    [
        (110, 50, []),
        (100, "46.859237", []),
        (100, "46.859238", [("unit-mismatch", "needles.0.most_kg")]),
        (100, "43.859236", [("unit-mismatch", "needles.0.most_kg")]),
        (110, 110, [("unit-slip", "needles.0.most_kg")]),
        (110, '"x"', []),
    ],
    ids=["rounded", "just within", "just above", "just below", "same number", "unreadable"],
)
def test_100_pounds_are_45_359237_kilograms_to_one_and_a_half(lb, kg, codes):
    assert _found(lb, kg) == codes
