"""Places given and moved for many people in one entry, folded for each. Invented data."""

from uuid import UUID

import pytest
from msgspec import structs

from thawline.base.instants import read_instant, to_ms
from thawline.ledger.entries import Entry, Kind
from thawline.ledger.events import DoseGiven, EarlierDoseTold, PersonBooked
from thawline.ledger.person_events import SecondDosesTakenOver
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved
from thawline.person.fold import PERSON

ADA, BEN = "DEMO-000001", "DEMO-000002"
WED, SAT, MON = (to_ms(read_instant(f"2026-03-0{d}T10:00:00-06:00")) for d in (4, 7, 9))


def _entry(seq, event):
    at = read_instant("2026-03-03T18:00:00-06:00")
    return Entry(
        seq=seq,
        epoch=1,
        id=UUID(int=seq),
        kind=Kind.COMMAND,
        by="Rowan T",
        device="",
        station="",
        lo_ms=to_ms(at),
        hi_ms=to_ms(at),
        recorded_ms=to_ms(at),
        zone="America/Chicago",
        protocol=None,
        findings=(),
        event=event,
        hash=b"",
    )


def _folded(person, *events):
    state = None
    for seq, event in enumerate(events, 1):
        if person in PERSON.keys(event):
            state = PERSON.step(person, state, _entry(seq, event))
    return state


def test_each_person_gets_their_own_time_of_one_entry():
    event = SecondDosesAssigned(people=(ADA, BEN), slots_ms=(WED, SAT))

    assert PERSON.keys(event) == (ADA, BEN)
    assert [_folded(who, event).bookings[0].slot_ms for who in (ADA, BEN)] == [WED, SAT]
    assert _folded(ADA, event).bookings[0].dose_number == 2


def test_a_move_takes_the_old_place_away_and_keeps_help_and_language():
    booked = PersonBooked(
        person=BEN, slot_ms=WED, dose_number=2, language="es", needs="wheelchair", group="open"
    )
    moved = SecondDosesMoved(people=(ADA, BEN), left_ms=(WED, WED), slots_ms=(SAT, MON))

    (place,) = _folded(BEN, booked, moved).bookings

    assert (place.slot_ms, place.language, place.needs, place.group) == (
        MON,
        "es",
        "wheelchair",
        "open",
    )


def test_the_place_of_the_first_dose_stays_and_lends_its_language():
    first = PersonBooked(person=ADA, slot_ms=WED, dose_number=1, language="es")
    given = SecondDosesAssigned(people=(ADA,), slots_ms=(SAT,))

    before, after = _folded(ADA, first, given).bookings

    assert (before.dose_number, after.dose_number, after.language) == (1, 2, "es")


def test_a_first_dose_at_the_same_time_is_not_taken_for_the_place_that_is_left():
    first = PersonBooked(person=ADA, slot_ms=WED, dose_number=1)
    moved = SecondDosesMoved(people=(ADA,), left_ms=(WED,), slots_ms=(SAT,))

    assert [b.dose_number for b in _folded(ADA, first, moved).bookings] == [1, 2]


def _taken_over(first_on):
    return SecondDosesTakenOver(
        people=(BEN,), were=(BEN,), slots_ms=(WED,), first_on=(first_on,), from_site="quillbeck"
    )


DOSE = DoseGiven(person=BEN, dose_number=1, lot="ZZ-1041", syringe=None)
CARD = EarlierDoseTold(person=BEN, given_on="2026-02-03")


@pytest.mark.parametrize(
    ("before", "first_on", "doses"),
    [
        ([], "2026-02-03", 1),
        ([DOSE], "2026-03-03", 1),  # the entries of this file are of 3 March
        ([DOSE], "2026-02-03", 2),
        ([DOSE], "2026-03-04", 2),
        ([CARD], "2026-02-03", 1),
        ([CARD], "2026-02-04", 2),
    ],
    ids=[
        *("nothing here", "given here that day", "given here later", "given here earlier"),
        *("told here", "another told here"),
    ],
)
def test_a_first_dose_that_is_on_record_here_is_not_counted_again(before, first_on, doses):
    state = _folded(BEN, *before, _taken_over(first_on))

    assert len(state.doses) + len(state.told) == doses
    assert [each.slot_ms for each in state.bookings] == [WED]


def test_a_dose_of_an_unsure_time_may_be_the_one_on_the_card():
    given = structs.replace(
        _entry(1, DOSE), lo_ms=to_ms(read_instant("2026-03-02T10:00-06:00"))
    )
    state = PERSON.step(BEN, None, given)

    for first_on in ("2026-03-02", "2026-03-03"):
        assert PERSON.step(BEN, state, _entry(2, _taken_over(first_on))).told == ()
