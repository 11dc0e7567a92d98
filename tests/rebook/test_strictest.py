"""One rule out of several that may have been in force, with made-up days."""

import pytest
from msgspec.structs import replace
from tests.rebook.rules import MADE_UP, REPEATS

from thawline.base.durations import read_allowance
from thawline.rebook.strictest import strictest

LATER = replace(MADE_UP, item="B2", earliest=read_allowance("P25D"))  # valid from day 22
NO_GRACE = replace(MADE_UP, item="B3", grace_for_judging=read_allowance("P0D"))  # from day 20


def days(rule):
    lengths = (rule.earliest, rule.grace_for_judging, rule.late_after)
    return [length.days for length in lengths]


@pytest.mark.parametrize("rule", [MADE_UP, REPEATS])
def test_one_rule_is_itself(rule):
    assert strictest([rule]) == rule


def test_booking_and_validity_take_the_later_day_and_lateness_the_earlier():
    longest_grace = replace(LATER, grace_for_judging=read_allowance("P8D"))  # from day 17
    sooner_late = replace(NO_GRACE, late_after=read_allowance("P28D"))

    assert days(strictest([longest_grace, sooner_late])) == [25, 5, 28]


def test_nobody_is_late_before_the_dose_is_due():
    sooner_late = replace(MADE_UP, late_after=read_allowance("P22D"))

    assert days(strictest([sooner_late, LATER])) == [25, 3, 25]


def test_a_dose_too_early_is_repeated_where_any_rule_repeats_it_after_the_longest_time():
    longer = replace(REPEATS, repeat_after=read_allowance("P26D"))

    found = strictest([REPEATS, longer, MADE_UP])

    assert (found.repeat_when_too_early, found.repeat_after) == (True, read_allowance("P26D"))


def test_the_rule_valid_latest_need_not_be_the_one_that_repeats():
    found = strictest([REPEATS, LATER])

    assert (found.item, found.repeat_when_too_early) == ("B2", True)
    assert found.repeat_after == read_allowance("P20D")


def test_a_time_that_a_rule_names_and_does_not_use_counts_for_nothing():
    unused = replace(MADE_UP, repeat_after=read_allowance("P50D"))

    assert strictest([unused, REPEATS]).repeat_after == read_allowance("P20D")
    assert strictest([MADE_UP, unused]).repeat_after is None


def test_the_item_named_is_that_of_the_rule_valid_latest():
    assert [strictest([MADE_UP, LATER]).item, strictest([LATER, NO_GRACE]).item] == ["B2", "B2"]


def test_the_order_of_the_rules_does_not_matter():
    assert strictest([LATER, REPEATS, NO_GRACE]) == strictest([NO_GRACE, LATER, REPEATS])
