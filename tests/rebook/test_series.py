"""Which dose a person still waits for, with made-up days."""

from datetime import date, time

import pytest
from msgspec.structs import replace
from tests.rebook.people import had, person, told
from tests.rebook.rules import FIRST, MADE_UP, REPEATS, always, on

from thawline.base.durations import read_allowance
from thawline.rebook.series import (
    Awaited,
    DoseDay,
    awaited,
    dose_days,
    has_undated_dose,
    judged_next,
    next_dose,
    on_day,
)

TODAY = on_day(date(2026, 6, 1))
TOO_EARLY = date(2026, 2, 13)


def dates(days):
    return [day.earliest for day in days if day.earliest == day.latest]


def test_nobody_waits_for_a_second_dose_before_the_first():
    assert awaited([], TODAY, always(MADE_UP)) is None


@pytest.mark.parametrize(
    ("state", "number"),
    [
        (person(), 1),
        (person(had(FIRST)), 2),
        (person(told=(told("2026-01-26"),)), 2),
        (person(told=(told("some day"),)), 2),
        (person(had(FIRST), had(date(2026, 3, 2))), None),
        (person(had(FIRST), had(TOO_EARLY)), 2),
    ],
    ids=["none", "one", "a card", "a card without a day", "both", "the second too early"],
)
def test_the_next_dose_is_the_first_the_second_or_its_repeat_and_then_none(state, number):
    assert next_dose(state, TODAY, always(REPEATS)) == number


def test_one_dose_makes_the_second_due():
    assert awaited(on(FIRST), TODAY, always(MADE_UP)) == Awaited(
        counted_from=FIRST,
        due=date(2026, 2, 23),
        late_after=date(2026, 3, 5),
        repeats=False,
    )


def test_two_doses_far_enough_apart_end_the_series():
    assert awaited(on(FIRST, date(2026, 2, 20)), TODAY, always(REPEATS)) is None


def test_a_second_dose_too_early_counts_where_it_is_not_repeated():
    assert awaited(on(FIRST, TOO_EARLY), TODAY, always(MADE_UP)) is None


def test_a_second_dose_too_early_is_awaited_again_counted_from_itself():
    assert awaited(on(FIRST, TOO_EARLY), TODAY, always(REPEATS)) == Awaited(
        counted_from=TOO_EARLY,
        due=date(2026, 3, 5),
        late_after=date(2026, 3, 15),
        repeats=True,
    )


def test_a_repeat_waits_its_own_days_where_they_are_longer():
    slower = replace(REPEATS, repeat_after=read_allowance("P25D"))
    sooner = replace(REPEATS, repeat_after=read_allowance("P15D"))

    assert awaited(on(FIRST, TOO_EARLY), TODAY, always(slower)).due == date(2026, 3, 10)
    assert awaited(on(FIRST, TOO_EARLY), TODAY, always(sooner)).due == date(2026, 3, 5)


def test_a_repeat_far_enough_from_the_dose_too_early_ends_the_series():
    three = on(FIRST, TOO_EARLY, date(2026, 3, 2))

    assert awaited(three, TODAY, always(REPEATS)) is None


def test_a_repeat_too_early_is_repeated_again():
    three = on(FIRST, TOO_EARLY, date(2026, 3, 1))

    assert awaited(three, TODAY, always(REPEATS)).counted_from == date(2026, 3, 1)


def test_a_dose_is_judged_by_the_rule_of_its_own_day():
    def rule_on(dose: DoseDay):
        return MADE_UP if dose.latest < date(2026, 4, 1) else REPEATS

    assert awaited(on(FIRST, TOO_EARLY), TODAY, rule_on) is None


def test_the_dose_to_come_is_dated_by_the_rule_of_today():
    longer = replace(MADE_UP, earliest=read_allowance("P40D"))

    def rule_on(dose: DoseDay):
        return longer if dose == TODAY else MADE_UP

    assert awaited(on(FIRST), TODAY, rule_on).due == date(2026, 3, 15)
    assert awaited(on(FIRST), on_day(date(2026, 5, 31)), rule_on).due == date(2026, 2, 23)


def test_a_longer_interval_of_today_also_holds_for_a_repeat():
    longer = replace(REPEATS, earliest=read_allowance("P40D"))

    def rule_on(dose: DoseDay):
        return longer if dose == TODAY else REPEATS

    assert awaited(on(FIRST, TOO_EARLY), TODAY, rule_on).due == date(2026, 3, 25)


def test_an_uncertain_first_dose_counts_from_its_later_day():
    first = DoseDay(FIRST, date(2026, 2, 5))

    assert awaited([first], TODAY, always(MADE_UP)).due == date(2026, 2, 25)


def test_an_uncertain_second_dose_is_judged_by_its_earlier_day_and_repeated_from_its_later():
    second = DoseDay(date(2026, 2, 19), date(2026, 2, 21))

    assert awaited([*on(FIRST), second], TODAY, always(REPEATS)).due == date(2026, 3, 13)


def test_the_order_of_the_records_does_not_matter():
    days = on(FIRST, TOO_EARLY)

    assert awaited(days, TODAY, always(REPEATS)) == awaited(
        reversed(days), TODAY, always(REPEATS)
    )


def test_doses_here_and_on_the_card_are_put_in_order_by_local_date():
    late_evening = had(date(2026, 3, 3), wall=time(22, 30))
    state = person(late_evening, told=(told("2026-02-03"),))

    assert dates(dose_days(state)) == [date(2026, 2, 3), date(2026, 3, 3)]


def test_a_card_without_a_readable_day_is_known_to_be_one():
    state = person(had(FIRST), told=(told("spring"),))

    assert has_undated_dose(state) is True
    assert has_undated_dose(person(had(FIRST))) is False
    assert dates(dose_days(state)) == [FIRST]


def test_a_second_dose_is_judged_from_the_first_and_a_repeat_from_the_dose_too_early():
    second = judged_next(on(FIRST), on_day(date(2026, 2, 25)), always(REPEATS))
    repeat = judged_next(on(FIRST, TOO_EARLY), on_day(date(2026, 2, 25)), always(REPEATS))

    assert (second.day, second.verdict) == (22, "in-window")
    assert (repeat.day, repeat.verdict) == (12, "error")


def test_a_first_dose_and_one_after_the_series_are_not_judged_by_an_interval():
    complete = on(FIRST, date(2026, 2, 23))

    assert judged_next([], on_day(FIRST), always(MADE_UP)) is None
    assert judged_next(complete, on_day(date(2026, 5, 1)), always(MADE_UP)) is None


def test_a_dose_within_the_uncertain_time_of_the_one_before_is_of_its_day():
    first = DoseDay(FIRST, date(2026, 2, 9))

    assert judged_next([first], on_day(date(2026, 2, 5)), always(MADE_UP)).day == 0
