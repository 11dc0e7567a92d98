"""
Before the needle: what refuses a dose, what may be set aside, and what is noted of it.

The limits are the made-up protocol's of `tests/cast.py`: 5 hours once open, day 28.
"""

from dataclasses import replace

import pytest
from tests.app.chairs import (
    CHAIR_OVERRIDES,
    DAY_27,
    DAY_28,
    FEN,
    HEATH,
    MARSH,
    STRANGER,
    a_chair,
    asked,
    book,
    card,
    given,
    needle,
    noted,
    stops,
    unscreened,
)
from tests.cast import BRYONY, LOT, OTHER_LOT, ROWAN, at, codes, small, with_second

from thawline.app.doses import check, question, unrecorded
from thawline.app.holds import hold, hold_lot
from thawline.app.vials import discard, draw, move, open_vial, waste
from thawline.base.errors import RecordError, RefusedError, SecondPersonError
from thawline.base.instants import Occurred
from thawline.ledger.entries import Kind
from thawline.ledger.events import DoseChecked


def test_a_dose_with_nothing_against_it_may_be_given():
    day, _, (syringe, *_) = a_chair()

    answer = asked(day, needle(code=syringe), "09:00")

    assert (answer.may, answer.findings, answer.dose_number) == (True, (), 1)
    assert answer.protocol.id == "small"


def test_asking_records_nothing():
    day, _, (syringe, *_) = a_chair()
    before = len(day.entries())

    asked(day, needle(code=syringe), "09:00")
    asked(day, needle(code=syringe), "12:01")

    assert len(day.entries()) == before


def test_a_check_by_somebody_is_noted_with_its_chair_and_outcome():
    day, _, (syringe, *_) = a_chair()

    outcome = noted(day, needle(code=syringe), "09:00")

    assert outcome.event == DoseChecked(
        person=MARSH,
        syringe=syringe,
        vial=None,
        may=True,
        screened_by="Sorrel Kettlewick",
        screening="give-15",
    )
    last = day.entries()[-1]
    assert (last.kind, last.station) == (Kind.NOTE, "chair 3")


def test_a_refused_check_is_noted_too():
    day, _, (syringe, *_) = a_chair()

    with pytest.raises(RefusedError) as refusal:
        noted(day, needle(code=syringe), "12:00")

    noted_down = day.entries()[-1].event
    assert codes(refusal.value.findings) == ["past-use-by"]
    assert (noted_down.may, noted_down.codes) == (False, ("past-use-by",))


def test_a_refused_check_asked_again_with_its_id_is_refused_again_and_noted_once():
    day, _, (syringe, *_) = a_chair()
    doing = day.doing("12:00", station="chair 3")
    with pytest.raises(RefusedError):
        check(day.site, doing, needle(code=syringe))
    before = len(day.entries())

    with pytest.raises(RefusedError) as again:
        check(day.site, doing, needle(code=syringe))
    assert codes(again.value.findings) == ["past-use-by"]
    assert len(day.entries()) == before


def test_the_use_by_is_refused_to_the_minute_before_it_passes():
    day, _, (syringe, *_) = a_chair()

    assert asked(day, needle(code=syringe), "11:59:59.999").may
    assert stops(asked(day, needle(code=syringe), "12:00")) == {"past-use-by"}


# --- who sits there -----------------------------------------------------------------------


def test_a_person_nobody_knows_gets_no_dose_however_often_it_is_asked():
    day, _, (syringe, *_) = a_chair()

    for clock in ("09:00", "09:01"):
        with pytest.raises(RefusedError) as refusal:
            noted(day, needle(STRANGER, syringe), clock)
        assert codes(refusal.value.findings) == ["person-not-known"]


def test_a_person_without_screening_of_today_gets_no_dose():
    day, _, (syringe, *_) = a_chair()

    assert stops(asked(day, unscreened(needle(code=syringe)), "09:00")) == {"not-screened"}


@pytest.mark.parametrize("outcome", ["refer", "not-today", "not-given", "contraindicated"])
def test_a_screening_that_ended_otherwise_refuses_the_dose(outcome):
    day, _, (syringe, *_) = a_chair()

    answer = asked(day, needle(code=syringe, screening=outcome), "09:00")

    assert stops(answer) == {"screened-not-to-give"}


def test_the_screening_named_at_a_check_holds_until_the_needle_the_same_day():
    day, _, (syringe, *_) = a_chair()
    noted(day, needle(code=syringe), "09:00")

    assert asked(day, unscreened(needle(code=syringe)), "09:05").may


def test_help_that_a_person_needs_is_said_and_refuses_nothing():
    day, _, (syringe, *_) = a_chair()
    book(day, "DEMO-000007", needs="lying down")

    answer = asked(day, needle("DEMO-000007", syringe), "09:00")

    assert answer.may
    assert codes(answer.findings) == ["needs-help"]


# --- which dose, and when -----------------------------------------------------------------


def test_day_28_is_the_first_day_of_the_second_dose():
    """Source: CDC web course page for the 28-day product, reviewed 16 July 2021: day 28."""
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_28)

    answer = asked(day, needle(code=syringe), "09:00")

    assert (answer.may, answer.dose_number, answer.findings) == (True, 2, ())


def test_day_27_is_refused_before_the_needle():
    """Source: the same page: days 24 to 27 are valid by grace, and are never booked."""
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_27)

    answer = asked(day, needle(code=syringe), "09:00")

    assert stops(answer) == {"too-early"}
    assert "today, day 27, is 1 day before" in answer.findings[0].says


def test_of_an_uncertain_time_the_interval_is_held_against_the_earlier_day():
    day, vial, _ = a_chair()
    card(day, DAY_28)
    night = Occurred(at("23:50", day=2), at("07:30"))

    with pytest.raises(RefusedError) as refusal:
        check(day.site, replace(day.doing("07:30"), occurred=night), needle(code=vial))
    assert codes(refusal.value.findings) == ["too-early"]
    assert question(day.site, needle(code=vial), "", at("07:30")).may
    assert not question(day.site, needle(code=vial), "", at("07:30"), night.lo).may


def test_day_28_cannot_be_asked_around_by_naming_another_dose():
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_27)

    assert "too-early" in stops(asked(day, needle(code=syringe, dose_number=1), "09:00"))


def test_another_lot_for_the_second_dose_is_normal():
    """Source: practice.md 14 [common practice]."""
    day, _, (syringe, *_) = a_chair()
    card(day, DAY_28)

    answer = asked(day, needle(code=syringe, lots=(LOT,)), "09:00")

    assert (answer.may, answer.findings) == (True, ())


def test_a_dose_today_stops_another_one_today():
    day, _, syringes = a_chair()
    given(day, needle(code=syringes[0]), "09:00")

    assert "dose-today" in stops(asked(day, needle(code=syringes[1]), "09:20"))


def test_a_second_dose_with_no_first_on_record_is_refused():
    day, _, (syringe, *_) = a_chair()

    answer = asked(day, needle(code=syringe, dose_number=2), "09:00")

    assert stops(answer) == {"first-dose-not-known"}


@pytest.mark.parametrize("number", [0, -1, 3])
def test_a_dose_is_the_first_or_the_second(number):
    with pytest.raises(RecordError, match=f"dose must be 1 or 2: {number}"):
        needle(code="HK47M-01", dose_number=number)


# --- what is in the hand ------------------------------------------------------------------


def test_a_dose_comes_from_a_syringe_or_from_a_vial_and_not_from_both():
    with pytest.raises(RecordError, match="one syringe, or from one vial"):
        replace(needle(code="HK47M-01"), vial="HK47M")
    with pytest.raises(RecordError, match="one syringe, or from one vial"):
        replace(needle(code="HK47M-01"), syringe=None)


def test_a_syringe_nobody_drew_is_refused_however_often_it_is_scanned():
    day, vial, _ = a_chair()

    for clock in ("09:00", "09:01"):
        with pytest.raises(RefusedError) as refusal:
            noted(day, needle(code=f"{vial}-77"), clock)
        assert codes(refusal.value.findings) == ["dose-not-known"]


def test_a_code_scanned_before_its_syringe_was_drawn_is_good_once_it_is_drawn():
    day, vial, _ = a_chair(doses=1)
    with pytest.raises(RefusedError):
        noted(day, needle(code=f"{vial}-02"), "07:20")

    drawn = draw(day.site, day.doing("07:30"), vial, 1).event.syringes

    assert drawn == (f"{vial}-02",)
    assert asked(day, needle(code=drawn[0]), "07:31").may


def wasted(day, syringe):
    waste(day.site, day.doing("08:00"), f"syringe:{syringe}", 1, "spilled")


def held(day, code):
    hold(day.site, day.doing("08:00", why="shaken"), [code])


@pytest.mark.parametrize(
    ("happen", "code"),
    [
        (lambda day, syringe: given(day, needle(FEN, syringe), "08:00"), "syringe-used"),
        (wasted, "syringe-wasted"),
        (held, "held"),
        (lambda day, syringe: held(day, syringe.partition("-")[0]), "held"),
        (
            lambda day, _: hold_lot(day.site, day.doing("08:00", why="withdrawn"), LOT, ""),
            "lot-held",
        ),
    ],
    ids=["given before", "wasted", "itself held", "its vial held", "its lot held"],
)
def test_a_syringe_that_is_used_wasted_or_held_is_refused(happen, code):
    day, _, (syringe, *_) = a_chair()

    assert asked(day, needle(code=syringe), "08:00").may
    happen(day, syringe)

    assert stops(asked(day, needle(code=syringe), "08:01")) == {code}


def test_a_syringe_of_a_vial_discarded_since_is_good_until_the_vial_is_held():
    day, vial, (syringe, *_) = a_chair()
    discard(day.site, day.doing("08:00"), vial, "leftover")

    before = asked(day, needle(code=syringe), "08:10")
    hold(day.site, day.doing("08:20", why="particles seen"), [vial])

    assert before.may
    assert stops(asked(day, needle(code=syringe), "08:21")) == {"held"}


def test_a_lot_that_looks_like_the_tables_is_a_stop_and_another_is_looked_at():
    day, _, (syringe, *_) = a_chair()

    alike = asked(day, needle(code=syringe, lots=("ZZ-1014",)), "09:00")
    another = asked(day, needle(code=syringe, lots=(OTHER_LOT,)), "09:00")

    assert stops(alike) == {"look-alike-lot"}
    assert (another.may, codes(another.findings)) == (True, ["lot-of-another-table"])


# --- drawn and given at the chair ---------------------------------------------------------


def test_a_dose_may_be_drawn_at_the_chair_from_an_open_vial():
    day, vial, _ = a_chair()

    assert asked(day, needle(code=vial), "09:00").may


def test_a_vial_that_is_not_on_record_as_open_is_opened_before_a_dose_is_drawn():
    """Else its clock of 5 hours would not run."""
    day, *_ = a_chair()
    (ready,) = day.thaw()
    chilled = asked(day, needle(code=ready), "07:30")
    move(day.site, day.doing("07:30", by=ROWAN), [ready], "table")

    assert (stops(chilled), chilled.may) == ({"not-open"}, False)
    assert stops(asked(day, needle(code=ready), "08:00")) == {"not-open"}
    open_vial(day.site, day.doing("08:00"), ready)
    assert asked(day, needle(code=ready), "08:01").may


def test_a_vial_gives_no_dose_at_the_chair_beyond_the_most_it_ever_gives():
    day, vial, _ = a_chair(doses=9)

    assert stops(asked(day, needle(code=vial), "09:00")) == {"too-many-doses"}


def test_a_discarded_vial_gives_none():
    day, vial, _ = a_chair()
    discard(day.site, day.doing("08:00"), vial, "leftover")

    assert "vial-discarded" in stops(asked(day, needle(code=vial), "08:01"))


# --- setting a refusal aside --------------------------------------------------------------


WITH_OVERRIDES = small(CHAIR_OVERRIDES)


def alike(syringe):
    """Return a dose whose lot looks like the one meant for the table."""
    return needle(code=syringe, lots=("ZZ-1014",))


def test_a_refusal_the_protocol_lists_is_set_aside_by_a_reason_and_a_second_person():
    day, _, (syringe, *_) = a_chair(WITH_OVERRIDES)
    doing = day.doing("09:00", why="read aloud by both", station="chair 3")

    outcome = check(day.site, with_second(doing, BRYONY), alike(syringe))

    assert outcome.event.may
    assert codes(outcome.findings) == ["look-alike-lot"]


@pytest.mark.parametrize("named", [True, False], ids=["only named", "nobody"])
def test_where_only_the_second_persons_own_entry_is_missing_it_says_so(named):
    day, _, (syringe, *_) = a_chair(WITH_OVERRIDES)
    alone = day.doing("09:00", why="read aloud", station="chair 3")
    doing = with_second(alone, BRYONY, by_own_entry=False) if named else alone

    with pytest.raises(SecondPersonError, match="second person"):
        check(day.site, doing, alike(syringe))
    assert day.entries()[-1].event.may is False


def test_a_refusal_is_not_set_aside_without_a_reason():
    day, _, (syringe, *_) = a_chair(WITH_OVERRIDES)

    with pytest.raises(RefusedError) as refusal:
        check(day.site, with_second(day.doing("09:00")), alike(syringe))
    assert not isinstance(refusal.value, SecondPersonError)


def test_a_refusal_that_takes_no_second_person_is_set_aside_by_a_reason():
    day, _, (syringe, *_) = a_chair(WITH_OVERRIDES)
    doing = day.doing("09:00", why="asked by word of mouth")

    assert check(day.site, doing, unscreened(needle(code=syringe))).event.may


def test_a_refusal_the_protocol_does_not_list_stands():
    day, _, (syringe, *_) = a_chair()
    doing = with_second(day.doing("09:00", why="read aloud by both"))

    with pytest.raises(RefusedError) as refusal:
        check(day.site, doing, alike(syringe))
    assert not isinstance(refusal.value, SecondPersonError)


@pytest.mark.parametrize("what", ["past-use-by", "lot-held", "too-early"])
def test_use_by_held_and_day_28_are_never_set_aside_whatever_a_protocol_lists(what):
    """Source: practice.md 2: use-by, held and day 28 cannot be overridden."""
    day, _, (syringe, *_) = a_chair(WITH_OVERRIDES)
    clock = "12:00" if what == "past-use-by" else "09:00"
    if what == "lot-held":
        hold_lot(day.site, day.doing("08:00", why="withdrawn"), LOT, "")
    if what == "too-early":
        card(day, DAY_27)
    doing = with_second(day.doing(clock, why="we are all sure"))

    with pytest.raises(RefusedError) as refusal:
        check(day.site, doing, needle(code=syringe))
    assert codes(refusal.value.findings) == [what]
    assert not isinstance(refusal.value, SecondPersonError)


# --- people with no dose recorded ---------------------------------------------------------


def test_the_next_check_at_a_chair_asks_for_the_person_before_once():
    day, _, syringes = a_chair()
    noted(day, needle(MARSH, syringes[0]), "09:00")
    noted(day, needle(MARSH, syringes[0]), "09:02")

    outcome = noted(day, needle(FEN, syringes[1]), "09:10")

    assert codes(outcome.findings) == ["dose-not-recorded"]
    assert f"Nothing is recorded for {MARSH}, checked 09:00" in outcome.findings[0].says
    assert outcome.event.may


def test_another_chair_and_the_person_themselves_are_not_asked_for():
    day, _, syringes = a_chair()
    noted(day, needle(MARSH, syringes[0]), "09:00")

    assert asked(day, needle(FEN, syringes[1]), "09:10", "chair 4").findings == ()
    assert asked(day, needle(MARSH, syringes[0]), "09:10", "chair 3").findings == ()


def test_the_longest_waiting_is_the_first_of_those_without_a_dose_on_record():
    day, _, syringes = a_chair()
    noted(day, needle(HEATH, syringes[0]), "09:00")
    noted(day, needle(MARSH, syringes[1]), "09:10", station="chair 4")

    waiting = unrecorded(day.site)

    assert [(each.person, each.station) for each in waiting] == [
        (HEATH, "chair 3"),
        (MARSH, "chair 4"),
    ]
    assert waiting[0].syringe == syringes[0]


def test_a_person_whose_check_was_refused_is_not_waited_for():
    day, _, (syringe, *_) = a_chair()
    with pytest.raises(RefusedError):
        noted(day, needle(code=syringe), "12:00")

    assert unrecorded(day.site) == []
