"""The calculators as plain functions, with the made-up needle table of this file."""

from datetime import date
from decimal import Decimal

import pytest
from tests.cast import small

from thawline.app.calculators import asked_at, needle_length, second_when, vial_yield
from thawline.base.errors import RecordError, RuleError
from thawline.base.instants import written

RULES = small(
    """
[[needles]]
item = "N1"
most_lb = 20
most_kg = 9
shortest_in = 0.5
longest_in = 1
condition = "stretched flat"
source = "demo"
[[needles]]
item = "N2"
shortest_in = 2
longest_in = 2
source = "demo"
"""
).protocol
RULE = RULES.schedule.dose_2
FIRST = date(2026, 2, 3)


def test_a_needle_is_chosen_by_sex_and_one_weight():
    light = needle_length("F", Decimal(20), None, RULES)
    heavy = needle_length("M", None, Decimal("9.5"), RULES)

    assert (light.item, light.condition) == ("N1", "stretched flat")
    assert (heavy.item, heavy.longest_in) == ("N2", 2)


@pytest.mark.parametrize(
    ("lb", "kg"), [(None, None), (Decimal(20), Decimal(9))], ids=["none", "both"]
)
def test_the_weight_is_wanted_once(lb, kg):
    with pytest.raises(RecordError, match="the weight is wanted once"):
        needle_length("F", lb, kg, RULES)


def test_a_sex_the_table_does_not_have_is_refused_by_its_value():
    with pytest.raises(RecordError, match="not 'X'"):
        needle_length("X", Decimal(20), None, RULES)


def test_a_protocol_without_a_table_gives_no_needle():
    with pytest.raises(RuleError, match="small version 1 has no needle table"):
        needle_length("F", Decimal(20), None, small().protocol)


def test_a_vial_yields_whole_doses_up_to_the_most_allowed():
    assert (vial_yield(1050, 100, 5, None).doses, vial_yield(1050, 100, 5, 9).doses) == (10, 9)
    assert vial_yield(1050, 100, 5, 9).left_ul == 105


@pytest.mark.parametrize(
    ("given", "on", "day"),
    [
        (None, None, "2026-02-03"),
        (date(2026, 3, 4), None, "2026-03-04"),
        (date(2026, 3, 4), date(2026, 4, 1), "2026-04-01"),
    ],
    ids=["first", "given", "on"],
)
def test_the_version_asked_is_that_of_the_last_day_named_and_of_its_end(given, on, day):
    assert written(asked_at(FIRST, given, on)) == f"{day}T23:59:59.999+00:00"


@pytest.mark.parametrize(
    ("on", "starts"),
    [
        (None, "From 2026-03-03 (day 28), and by 2026-03-17 (day 42)"),
        (date(2026, 2, 2), "From 2026-03-03"),
        (date(2026, 2, 3), "Day 0: not yet, 28 more. From 2026-03-03"),
        (date(2026, 3, 2), "Day 27: not yet, 1 more. From"),
        (date(2026, 3, 3), "Day 28: may be given. From"),
    ],
    ids=["no day", "before the first", "same day", "a day early", "the day"],
)
def test_the_day_asked_about_is_answered_in_words(on, starts):
    assert second_when(FIRST, None, on, RULE).says.startswith(starts)


def test_a_dose_given_is_judged_and_the_dates_stay():
    found = second_when(FIRST, date(2026, 3, 1), None, RULE)

    assert found.judgement.verdict == "grace"
    assert found.says == found.judgement.says
    assert found.dates.due == date(2026, 3, 3)
