"""How many syringes may lie drawn at a table, with a made-up limit."""

import pytest

from thawline.base.findings import Level
from thawline.prepare.predraw import predrawn_findings
from thawline.rules.protocol import Predrawn

RULE = Predrawn(item="D9", most_vials=2, most_doses=9, source="demo")


@pytest.mark.parametrize(
    ("drawn", "doses_per_vial", "warned"),
    [(9, 4, False), (10, 4, True), (12, 6, False), (13, 6, True)],
    ids=["doses greater", "past the doses", "vials greater", "past the vials"],
)
def test_the_greater_of_vials_and_doses_is_the_limit(drawn, doses_per_vial, warned):
    assert bool(predrawn_findings(drawn, doses_per_vial, RULE)) is warned


def test_the_warning_names_what_lies_there_the_limit_and_the_item():
    (found,) = predrawn_findings(13, 6, RULE)

    assert (found.level, found.code, found.item) == (Level.CHECK, "drawn-ahead", "D9")
    assert found.says.startswith("13 syringes drawn and not given, at most 12.")


def test_a_protocol_without_the_limit_says_nothing():
    assert predrawn_findings(100, 10, None) == ()
