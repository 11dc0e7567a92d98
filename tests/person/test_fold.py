"""A person's story, folded: places booked, checks before the needle, doses. Invented data."""

from uuid import UUID

import msgspec
import pytest

from thawline.base.instants import read_instant, to_ms
from thawline.ledger.entries import Entry, Kind
from thawline.ledger.events import (
    DoseChecked,
    DoseGiven,
    DoseNotGiven,
    EarlierDoseTold,
    PersonBooked,
    VialPunctured,
)
from thawline.person.fold import PERSON, PersonState, open_checks
from thawline.rules.protocol import ProtocolRef

WHO = "DEMO-000028"
VERSION_2 = ProtocolRef("example-10", 2, "ab" * 32)


def _entry(seq, event, at, until=None, zone="America/Chicago", by="Rowan T"):
    begins = read_instant(at)
    ends = read_instant(until or at)
    return Entry(
        seq=seq,
        epoch=1,
        id=UUID(int=seq),
        kind=Kind.FACT,
        by=by,
        device="",
        station="chair 2",
        lo_ms=to_ms(begins),
        hi_ms=to_ms(ends),
        recorded_ms=to_ms(ends),
        zone=zone,
        protocol=VERSION_2,
        findings=(),
        event=event,
        hash=b"",
    )


def _told(*entries):
    state = None
    for entry in entries:
        state = PERSON.step(WHO, state, entry)
    return state


def _check(seq, at, syringe="HK47M-07", *, may=True):
    event = DoseChecked(person=WHO, syringe=syringe, vial=None, may=may)
    return _entry(seq, event, at)


def _dose(seq, at, syringe=None, until=None, number=1):
    event = DoseGiven(person=WHO, dose_number=number, lot="ZZ-1041", syringe=syringe)
    return _entry(seq, event, at, until)


def test_a_booking_keeps_its_slot_needs_and_row():
    slot = to_ms(read_instant("2026-02-03T09:30:00-06:00"))
    event = PersonBooked(
        person=WHO, slot_ms=slot, dose_number=1, row="r1", language="es", needs="wheelchair"
    )

    [booking] = _told(_entry(1, event, "2026-01-30T12:00:00-06:00")).bookings

    assert (booking.slot_ms, booking.dose_number) == (slot, 1)
    assert (booking.language, booking.needs, booking.row) == ("es", "wheelchair", "r1")


def test_a_check_without_a_dose_stays_open():
    state = _told(_check(1, "2026-02-03T09:40:00-06:00"))

    [check] = open_checks(state)
    assert (check.syringe, check.may, check.by, check.station) == (
        "HK47M-07",
        True,
        "Rowan T",
        "chair 2",
    )


def test_a_refused_check_stays_open_too_and_says_so():
    state = _told(_check(1, "2026-02-03T09:40:00-06:00", may=False))

    assert [check.may for check in open_checks(state)] == [False]


@pytest.mark.parametrize(
    ("answer", "open_after"),
    [
        (_dose(2, "2026-02-03T09:42:00-06:00"), 0),
        (_dose(2, "2026-02-03T09:40:00-06:00"), 0),
        (_dose(2, "2026-02-03T09:39:00-06:00"), 0),
        (_dose(2, "2026-03-03T09:40:00-06:00", number=2), 1),
        (_dose(2, "2026-02-02T23:59:59-06:00"), 1),
        (_dose(2, "2026-02-04T00:01:00-06:00", "HK47M-07"), 0),
        (_dose(2, "2026-02-04T00:01:00-06:00"), 1),
        (_dose(2, "2026-02-02T17:00:00-06:00", until="2026-02-03T08:00:00-06:00"), 0),
        (_dose(2, "2026-02-03T22:00:00-06:00", until="2026-02-04T08:00:00-06:00"), 0),
    ],
    ids=[
        "two minutes later",
        "the same minute",
        "scanned after injecting",
        "four weeks later",
        "the day before",
        "past midnight, same syringe",
        "past midnight, no syringe named",
        "some time between last evening and this morning",
        "some time between tonight and tomorrow morning",
    ],
)
def test_a_dose_answers_the_checks_of_its_day_and_of_its_syringe(answer, open_after):
    state = _told(_check(1, "2026-02-03T09:40:00-06:00"), answer)

    assert len(open_checks(state)) == open_after


def test_a_check_of_a_vial_is_not_answered_by_a_dose_of_another_day_without_a_syringe():
    drawn_at_the_chair = _check(1, "2026-02-03T09:40:00-06:00", syringe=None)

    state = _told(drawn_at_the_chair, _dose(2, "2026-03-03T09:40:00-06:00", number=2))

    assert len(open_checks(state)) == 1


def test_the_day_of_a_check_is_the_local_day():
    late = _check(1, "2026-02-03T23:30:00-06:00")
    same_utc_day = _dose(2, "2026-02-04T08:00:00-06:00")

    assert len(open_checks(_told(late, same_utc_day))) == 1


@pytest.mark.parametrize(
    ("at", "open_after"),
    [
        ("2026-02-03T09:45:00-06:00", 0),
        ("2026-02-05T08:00:00-06:00", 0),
        ("2026-02-02T08:00:00-06:00", 1),
    ],
    ids=["that day", "typed two days later", "about an earlier day"],
)
def test_left_without_a_dose_answers_every_check_until_then(at, open_after):
    left = _entry(2, DoseNotGiven(person=WHO, why="changed their mind"), at)

    state = _told(_check(1, "2026-02-03T09:40:00-06:00"), left)

    assert len(open_checks(state)) == open_after


def test_an_answered_check_names_the_act_that_closed_it_first():
    state = _told(
        _check(1, "2026-02-03T09:40:00-06:00"),
        _dose(2, "2026-02-03T09:42:00-06:00"),
        _dose(3, "2026-02-03T09:50:00-06:00"),
    )

    assert [check.answered for check in state.checks] == [str(UUID(int=2))]
    assert len(state.doses) == 2


def test_a_second_check_after_a_dose_is_open_again():
    state = _told(_dose(1, "2026-02-03T09:42:00-06:00"), _check(2, "2026-02-03T09:50:00-06:00"))

    assert len(open_checks(state)) == 1


def test_a_dose_keeps_both_ends_of_when_it_happened_and_its_version():
    dose = _dose(1, "2026-02-03T09:00:00-06:00", "HK47M-07", until="2026-02-03T12:00:00-06:00")

    [had] = _told(dose).doses

    assert had.hi_ms - had.lo_ms == 3 * 60 * 60 * 1000
    assert (had.lot, had.syringe, had.dose_number) == ("ZZ-1041", "HK47M-07", 1)
    assert (had.protocol, had.zone) == (VERSION_2, "America/Chicago")


def test_a_dose_told_from_elsewhere_is_kept_apart_from_doses_given_here():
    event = EarlierDoseTold(person=WHO, given_on="2026-01-05", product="other", lot="A1")

    state = _told(_entry(1, event, "2026-02-03T09:00:00-06:00"))

    assert [told.given_on for told in state.told] == ["2026-01-05"]
    assert state.doses == ()


def test_only_events_about_a_person_touch_one():
    assert PERSON.keys(DoseNotGiven(person=WHO, why="-")) == (WHO,)
    assert PERSON.keys(VialPunctured(vial="HK47M")) == ()


def test_a_saved_state_reads_back_the_same():
    state = _told(_check(1, "2026-02-03T09:40:00-06:00"), _dose(2, "2026-02-03T09:42:00-06:00"))

    assert msgspec.json.decode(msgspec.json.encode(state), type=PersonState) == state
