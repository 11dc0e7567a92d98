"""
Immunize.org, "Administering Vaccines to Adults: dose, route, site and needle size", table for
the adult deltoid; the cut-offs in kilograms from a family-practice reference.

As excerpted in the project's clinical check values, section 3.1; read there on 2026-11-25. The
printed bounds are loose ("153-200", "200+") and fixed there as up to and including 152, 200
and 260 lb, and 70, 90 and 118 kg.
"""

import pytest

from thawline.adapters import rule_files

PRINTED = [
    (None, ("below", 130, 60), "0.625", "1"),
    (None, ("most", 152, 70), "1", "1"),
    ("F", ("most", 200, 90), "1", "1.5"),
    ("M", ("most", 260, 118), "1", "1.5"),
    ("F", None, "1.5", "1.5"),
    ("M", None, "1.5", "1.5"),
]


def _row(needle):
    if needle.below_lb is not None:
        bound = ("below", needle.below_lb, needle.below_kg)
    elif needle.most_lb is not None:
        bound = ("most", needle.most_lb, needle.most_kg)
    else:
        bound = None
    return needle.sex, bound, str(needle.shortest_in), str(needle.longest_in)


@pytest.mark.parametrize("name", rule_files.names())
def test_every_shipped_file_carries_the_printed_table(name):
    assert [_row(needle) for needle in rule_files.load(name).protocol.needles] == PRINTED


def test_the_short_needle_has_its_condition():
    (first, *others) = rule_files.load("published-2022").protocol.needles

    assert first.condition.startswith("5/8 inch only with the skin stretched flat")
    assert {other.condition for other in others} == {None}
