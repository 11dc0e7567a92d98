"""
Leftovers and syringes drawn ahead, against the questions and answers for vaccinators.

Immunize.org, "Ask the Experts", storage and handling, reviewed 2023-07-26: discard what is
less than a full dose and never combine partial doses of two or more vials; the same sentence
of CDC quoted in the news of 2021-02-23. Pre-drawing, 2024-08-11: at a mass clinic no more
than 1 vial or 10 doses, whichever is greater, drawn up ahead. As the check tables of
2026-11-25 give it. Rows D4 and B11 of the cold-chain check table.
"""

import pytest

from thawline.adapters.rule_files import load
from thawline.app.calculators import vial_yield
from thawline.prepare.by_volume import Draw, doses_in_vials
from thawline.prepare.predraw import predrawn_findings

ONE_VIAL_OR_TEN_DOSES = load("published-2022").protocol.predrawn


def test_what_is_left_in_two_vials_makes_no_dose():
    left = (300, 200)

    assert [vial_yield(fill, 500, 0, None).doses for fill in left] == [0, 0]
    assert doses_in_vials(left, Draw(500, 0)) == 0


@pytest.mark.parametrize(
    ("drawn", "doses_per_vial", "warned"),
    [(11, 10, True), (10, 10, False), (11, 15, False), (6, 5, False)],
    ids=["one too many", "a vial", "a larger vial", "two small vials"],
)
def test_more_than_a_vial_or_ten_doses_drawn_ahead_is_warned_of(drawn, doses_per_vial, warned):
    found = predrawn_findings(drawn, doses_per_vial, ONE_VIAL_OR_TEN_DOSES)

    assert bool(found) is warned
