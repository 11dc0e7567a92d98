"""Supplies against need, with made-up figures of use; needles by length against scipy."""

import pytest
from scipy.stats import binom

from thawline.base.errors import RecordError
from thawline.base.findings import Level
from thawline.plan.supplies import (
    Counted,
    DayAhead,
    Per,
    Use,
    need_against_stock,
    supply_findings,
)

USES = {
    "needle": Use(Per.DOSE, 1, 0, "made up"),
    "label": Use(Per.VIAL, 11, 0, "made up"),
    "sharps-box": Use(Per.DOSE, 0.01, 0, "made up"),
    "epinephrine": Use(Per.DAY, 0, 3, "made up"),
    "diluent": Use(Per.DAY, 0, 0, "made up"),
}
DAY = DayAhead(doses=230, vials=23, service=0.95)
ENOUGH = (
    Counted("needles", "needle", 230),
    Counted("labels", "label", 253),
    Counted("boxes", "sharps-box", 3),
    Counted("epinephrine", "epinephrine", 3),
    Counted("diluent", "diluent", 0),
)


def _with(*rows):
    kinds = {row.kind for row in rows}
    return (*rows, *(row for row in ENOUGH if row.kind not in kinds))


def _found(*rows):
    lines = need_against_stock(USES, _with(*rows), DAY)
    return [(finding.level, finding.code) for finding in supply_findings(lines)]


def test_exactly_enough_is_enough():
    lines = need_against_stock(USES, ENOUGH, DAY)

    assert [line.need for line in lines] == [230, 253, 3, 3, 0]
    assert supply_findings(lines) == ()


@pytest.mark.parametrize(
    ("row", "code", "level"),
    [
        (Counted("needles", "needle", 229), "supply-short", Level.ACT),
        (Counted("labels", "label", 252), "supply-short", Level.ACT),
        (Counted("boxes", "sharps-box", 2), "supply-short", Level.ACT),
        (Counted("epinephrine", "epinephrine", 2), "epinephrine-short", Level.STOP),
        (Counted("diluent, 2 mL", "diluent", 1), "diluent-on-site", Level.STOP),
    ],
)
def test_one_too_few_is_too_few_and_one_diluent_is_a_stop(row, code, level):
    assert _found(row) == [(level, code)]


def test_needles_of_each_length_are_enough_for_their_share_by_chance():
    rows = (Counted("1 in", "needle", 200, 0.8), Counted("1.5 in", "needle", 60, 0.2))
    short, long, *_ = need_against_stock(USES, _with(*rows), DAY)

    assert (short.need, long.need) == (
        binom.ppf(0.95, 230, 0.8),
        binom.ppf(0.95, 230, 0.2),
    )
    assert (short.need, long.need) == (194, 56)  # the worked example of the background page


def test_what_nobody_counted_is_not_known_and_never_enough():
    lines = need_against_stock(USES, [Counted("needles", "needle", 230)], DAY)
    found = supply_findings(lines)

    assert [line.short for line in lines] == [0, None, None, None, None]
    assert [finding.level for finding in found][:2] == [Level.ACT, Level.CHECK]
    assert "nobody counted" in found[0].says
    assert found[-1].code == "diluent-not-looked-for"


def test_the_sites_own_row_stands_before_the_shipped_figure():
    row = Counted("epinephrine", "epinephrine", 4, fewest=6)
    line = need_against_stock(USES, _with(row), DAY)[0]

    assert (line.need, line.short, line.source) == (6, 2, "this site's own row")
    spare = Counted("needles", "needle", 230, use=1.1)
    assert need_against_stock(USES, _with(spare), DAY)[0].need == 253


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([Counted("balloons", "balloon", 3)], "not a kind"),
        ([Counted("1 in", "needle", 9, 0.5)], "come to 0.5"),
        ([Counted("a", "needle", 9), Counted("b", "needle", 9)], "its 2 rows"),
    ],
)
def test_a_count_that_leaves_people_out_is_refused(rows, says):
    with pytest.raises(RecordError, match=says):
        need_against_stock(USES, rows, DAY)


@pytest.mark.parametrize("day", [(-1, 2, 0.9), (1, -2, 0.9), (1, 2, 1.0)])
def test_a_day_that_cannot_be_is_refused(day):
    with pytest.raises(RecordError, match="doses"):
        DayAhead(*day)
