"""The kit: what is left in it, since when vaccinating is paused, and who may end that."""

from datetime import date

import pytest
from msgspec.structs import replace
from tests.cast import CHICAGO, at
from tests.observe.kits import AUGUST, GIVEN, HAZEL, RESUMED, after_noon, kit, kit_at, looked
from tests.vial.entries import entry

from thawline.base.instants import exactly, to_ms
from thawline.ledger.events import DoseNotGiven
from thawline.ledger.observation_events import KitChecked, MomentStamped, VaccinatingResumed
from thawline.observe.kit_fold import (
    KIT,
    KitState,
    good_doses,
    is_short,
    looked_at,
    paused_since,
)

FEBRUARY_3, FEBRUARY_4 = date(2026, 2, 3), date(2026, 2, 4)
HOURS = 60


@pytest.mark.parametrize("what", ["called", "crew", "down", "up"])
def test_only_a_dose_that_was_given_takes_one_from_the_kit(what):
    assert KIT.keys(MomentStamped(what="given")) == ("kit",)
    assert KIT.keys(MomentStamped(what=what)) == ()


def test_a_look_and_the_leads_word_touch_the_kit_and_other_entries_do_not():
    assert KIT.keys(looked()) == ("kit",)
    assert KIT.keys(RESUMED) == ("kit",)
    assert KIT.keys(DoseNotGiven(person="DEMO-000001", why="not-today")) == ()
    assert KIT.kinds == {MomentStamped, KitChecked, VaccinatingResumed}


def test_a_look_keeps_what_was_found_by_whom_when_and_where():
    found = kit(looked(f"3@{AUGUST}", "1@2026-02-03"))

    assert found.doses == ((3, "2026-08-31"), (1, "2026-02-03"))
    assert (found.able, found.least, found.used) == ((HAZEL,), 2, 0)
    assert (found.checked_ms, found.zone) == (to_ms(at("12:00")), "America/Chicago")


@pytest.mark.parametrize(
    ("presses", "left"), [(0, 3), (1, 2), (2, 1), (3, 0), (4, 0)], ids=lambda count: f"{count}"
)
def test_each_dose_given_leaves_one_less_and_never_fewer_than_none(presses, left):
    found = kit(looked(f"3@{AUGUST}"), *[GIVEN] * presses)

    assert good_doses(found, FEBRUARY_3) == left


def test_a_dose_is_good_through_its_last_day_and_not_on_the_day_after():
    found = kit(looked(f"3@{AUGUST}", "1@2026-02-03"))

    assert (good_doses(found, FEBRUARY_3), good_doses(found, FEBRUARY_4)) == (4, 3)


def test_a_dose_given_before_anybody_looked_is_counted_and_pauses_nothing():
    found = kit(GIVEN)

    assert (found.used, found.checked_ms) == (1, 0)
    assert not is_short(found, at("12:30"))
    assert paused_since(found, at("12:30")) is None
    assert kit(RESUMED).used == 0


def test_a_new_look_counts_the_kit_as_it_lies_there():
    found = kit(GIVEN, GIVEN, looked(f"2@{AUGUST}"))

    assert (found.used, good_doses(found, FEBRUARY_3)) == (0, 2)


@pytest.mark.parametrize(
    ("look", "short"),
    [
        (looked(f"2@{AUGUST}"), False),
        (looked(f"1@{AUGUST}"), True),
        (looked(f"2@{AUGUST}", able=()), True),
    ],
    ids=["just enough and somebody able", "one too few", "nobody able"],
)
def test_a_kit_is_short_of_doses_or_of_somebody_to_give_one(look, short):
    found = kit(look)

    assert is_short(found, at("12:00")) is short
    assert (paused_since(found, at("12:30")) == at("12:00")) is short


def test_a_look_at_an_uncertain_time_counts_from_the_later_end():
    unsure = replace(entry(looked(f"1@{AUGUST}"), 10), lo_ms=to_ms(at("12:00")))

    assert paused_since(KIT.step("kit", None, unsure), at("12:30")) == at("12:10")


def test_the_press_that_leaves_too_few_begins_the_pause():
    found = kit(looked(f"3@{AUGUST}"), GIVEN, GIVEN, GIVEN)

    assert paused_since(found, at("12:30")) == at("12:02")


def test_nothing_was_ever_paused_where_nothing_is_on_record():
    assert paused_since(None, at("12:00")) is None


def test_the_last_day_is_a_day_at_the_site_and_not_in_greenwich():
    found = kit(looked("2@2026-02-03"))

    assert not is_short(found, at("23:59:59.999"))
    assert is_short(found, at("00:00", day=4))


def test_a_last_day_that_went_by_pauses_also_when_the_kit_was_filled_since():
    found = kit_at((0, looked("2@2026-02-03")), (20 * HOURS, looked(f"5@{AUGUST}")))

    assert paused_since(found, after_noon(21 * HOURS)) == at("00:00", day=4)
    assert not is_short(found, after_noon(21 * HOURS))


@pytest.mark.parametrize(
    ("doses", "day"),
    [
        (("2@2026-02-03",), 4),
        (("1@2026-02-03", "2@2026-02-05"), 6),
        (("1@2026-02-08", "1@2026-02-03", "1@2026-02-05"), 6),
        (("5@2026-02-04", f"1@{AUGUST}"), 5),
        (("1@2026-02-03", "1@2026-02-04", f"1@{AUGUST}"), 5),
    ],
    ids=["the only batch", "the second batch", "in any order", "all but one", "one a day"],
)
def test_the_pause_begins_at_the_midnight_that_leaves_too_few(doses, day):
    found = kit(looked(*doses))

    assert paused_since(found, at("23:59:59.999", day=day - 1)) is None
    assert paused_since(found, at("00:00", day=day)) == at("00:00", day=day)
    assert paused_since(found, at("09:00", day=20)) == at("00:00", day=day)


@pytest.mark.parametrize("last", ["2026-02-03", AUGUST, "9999-12-31"])
def test_a_pause_whose_beginning_nobody_can_tell_begins_now_at_the_latest(last):
    unable = KitState(doses=((2, last),), least=2, checked_ms=1, zone=CHICAGO.key)

    assert paused_since(unable, at("09:00")) == at("09:00")
    assert paused_since(unable, at("20:00")) == at("20:00")


def test_a_press_after_such_a_midnight_leaves_the_pause_where_it_began():
    found = kit_at((0, looked("2@2026-02-03")), (20 * HOURS, GIVEN))

    assert paused_since(found, after_noon(21 * HOURS)) == at("00:00", day=4)


def test_a_filled_kit_goes_on_being_paused_since_the_first_look():
    found = kit(looked(f"1@{AUGUST}"), looked(f"5@{AUGUST}"))

    assert paused_since(found, at("12:30")) == at("12:00")
    after = looked_at(found, looked(f"6@{AUGUST}"), exactly(at("12:40")), CHICAGO.key)
    assert after.paused_ms == to_ms(at("12:00"))


def test_the_clinical_leads_word_ends_the_pause_and_keeps_what_was_used():
    found = kit(looked(f"1@{AUGUST}"), looked(f"3@{AUGUST}"), GIVEN, RESUMED)

    assert paused_since(found, at("12:30")) is None
    assert found.used == 1


def test_the_clinical_leads_word_about_a_short_kit_begins_a_new_pause():
    found = kit(looked(f"1@{AUGUST}"), RESUMED)

    assert paused_since(found, at("12:30")) == at("12:01")


def test_a_look_typed_in_later_does_not_replace_one_of_after_it():
    full, short = looked(f"5@{AUGUST}"), looked(f"2@{AUGUST}")

    found = kit_at((10, short), (0, full))

    assert (good_doses(found, FEBRUARY_3), found.checked_ms) == (2, to_ms(after_noon(10)))


def test_a_dose_given_after_a_look_that_is_typed_in_later_is_not_forgotten():
    found = kit_at((0, looked(f"3@{AUGUST}")), (30, GIVEN), (20, looked(f"3@{AUGUST}")))

    assert (found.used, good_doses(found, FEBRUARY_3)) == (1, 2)


def test_a_dose_typed_in_later_that_the_look_found_gone_already_is_not_taken_twice():
    found = kit_at((10, looked(f"2@{AUGUST}")), (5, GIVEN))

    assert good_doses(found, FEBRUARY_3) == 2


def test_of_a_look_of_an_unsure_time_a_dose_since_its_beginning_counts_as_used():
    given = entry(GIVEN, 5)
    unsure = replace(entry(looked(f"3@{AUGUST}"), 10), lo_ms=to_ms(at("12:00")))

    found = KIT.step("kit", KIT.step("kit", None, given), unsure)

    assert good_doses(found, FEBRUARY_3) == 2


@pytest.mark.parametrize(
    ("resumed", "paused"),
    [((), True), ((20,), False), ((5,), True)],
    ids=["nobody let it go on", "the lead did since", "the lead had before"],
)
def test_a_short_look_typed_in_later_begins_a_pause_unless_the_lead_ended_it(resumed, paused):
    words = [(minute, RESUMED) for minute in resumed]

    found = kit_at((30, looked(f"5@{AUGUST}")), *words, (10, looked(f"1@{AUGUST}")))

    assert paused_since(found, at("13:00")) == (after_noon(10) if paused else None)


def test_the_leads_word_does_not_end_a_pause_that_began_after_it():
    found = kit_at((10, looked(f"1@{AUGUST}")), (20, looked(f"5@{AUGUST}")), (5, RESUMED))

    assert paused_since(found, at("13:00")) == after_noon(10)
