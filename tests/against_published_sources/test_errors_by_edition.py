"""
The same error judged in different months, as the published tables of those months say.

Sources: table "administration errors and deviations", Centers for Disease Control and
Prevention, second hand; the course pages of July and December 2021 for a second dose that came
too early. The early-2021 wording for volumes and ages is from memory (marked in the file).
"""

from datetime import date

import pytest

from thawline.adapters import rule_files
from thawline.app.calculators import Slip, after_error
from thawline.base.errors import RecordError

EARLY, LATER, NEXT = "published-2021-02", "published-2021-12", "published-2022"
ALL = (EARLY, LATER, NEXT)
DAY = date(2021, 1, 21)


def _after(edition, what, first=None, volume=None):
    rules = rule_files.load(edition, None).protocol
    return after_error(Slip(what, DAY, first, volume), rules)


def test_a_second_dose_on_day_20_is_not_repeated_by_february_and_is_by_december():
    first = date(2021, 1, 1)
    february, december = (_after(edition, "too-early", first) for edition in (EARLY, LATER))

    assert (february.repeat, february.not_before) == ("no", None)
    assert (december.repeat, december.not_before) == ("by-schedule", date(2021, 2, 18))
    assert "Repeat, not before 2021-02-18." in december.says


@pytest.mark.parametrize(("edition", "repeat"), [(EARLY, "no"), (LATER, "at-once")])
def test_three_fifths_of_a_dose_are_repeated_only_by_the_later_table(edition, repeat):
    assert _after(edition, "too-little", volume=300).repeat == repeat


@pytest.mark.parametrize("edition", ALL)
@pytest.mark.parametrize("volume", [200, None], ids=["less than half", "nobody knows"])
def test_less_than_half_or_an_unknown_amount_is_repeated_at_once_by_each(edition, volume):
    found = _after(edition, "too-little", volume=volume)
    assert (found.repeat, found.not_before) == ("at-once", DAY)


def test_exactly_half_is_not_said_by_the_early_table_and_completed_by_the_later():
    assert _after(EARLY, "too-little", volume=250).repeat is None
    assert "completed by another half dose" in _after(LATER, "too-little", volume=250).says


@pytest.mark.parametrize(
    ("edition", "repeat"), [(EARLY, "when-eligible"), (LATER, "no"), (NEXT, "no")]
)
def test_a_dose_under_the_age(edition, repeat):
    assert _after(edition, "too-young").repeat == repeat


@pytest.mark.parametrize("edition", ALL)
@pytest.mark.parametrize(
    ("what", "repeat"),
    [
        ("wrong-site", "no"),
        ("wrong-route", "no"),
        ("too-much", "no"),
        ("other-product", "no"),
        ("past-limit", "at-once"),
        ("after-expiry", "at-once"),
        ("late", "no"),
    ],
)
def test_what_each_edition_says_the_same(edition, what, repeat):
    assert _after(edition, what).repeat == repeat


@pytest.mark.parametrize("edition", ALL)
def test_every_error_is_told_to_the_person_and_reported_harm_or_not(edition):
    tell = _after(edition, "wrong-site").tell
    assert "Tell the person" in tell
    assert "whether or not harm followed" in tell


@pytest.mark.parametrize("days", [24, 27, 28])
def test_a_second_dose_in_the_grace_days_or_later_is_no_error(days):
    first = date.fromordinal(DAY.toordinal() - days)
    with pytest.raises(RecordError, match=f"on day {days} is not too early"):
        _after(LATER, "too-early", first)


def test_day_23_is_one():
    first = date.fromordinal(DAY.toordinal() - 23)
    assert _after(LATER, "too-early", first).not_before == date(2021, 2, 18)
