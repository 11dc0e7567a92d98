"""Which screening of a person counts: the last of the local day, for the dose asked about."""

from zoneinfo import ZoneInfo

import pytest
from msgspec import structs
from tests.cast import at
from tests.vial.entries import entry

from thawline.base.instants import read_instant, to_ms
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared
from thawline.person.fold import (
    PERSON,
    PersonState,
    Screening,
    last_screening,
    stricter_screening,
)

ZONE = ZoneInfo("America/Chicago")
TUESDAY, WEDNESDAY = at("23:59:59"), at("23:59:59", 4)


def _screening(when: str, outcome: str = "give-15", dose: int | None = 1) -> Screening:
    return Screening(
        lo_ms=to_ms(read_instant(when)),
        hi_ms=to_ms(read_instant(when)),
        zone=ZONE.key,
        by="Sorrel",
        outcome=outcome,
        reasons=(),
        until=None,
        dose_number=dose,
        entry=when,
    )


LATE = _screening("2026-02-03T23:59:59-06:00", "refer")
EARLY = _screening("2026-02-03T00:00:00-06:00")
STATE = PersonState(screenings=(EARLY, LATE))


def test_the_last_screening_of_the_day_counts():
    assert last_screening(STATE, TUESDAY, ZONE) == LATE


def test_answers_expire_at_local_midnight():
    assert last_screening(STATE, WEDNESDAY, ZONE) is None
    assert last_screening(PersonState(), TUESDAY, ZONE) is None


def test_a_screening_for_another_dose_does_not_count():
    assert last_screening(STATE, TUESDAY, ZONE, 1) == LATE
    assert last_screening(STATE, TUESDAY, ZONE, 2) is None


def test_a_screening_that_names_no_dose_counts_for_either():
    nameless = _screening("2026-02-03T12:00:00-06:00", dose=None)

    assert last_screening(PersonState(screenings=(nameless,)), TUESDAY, ZONE, 2) == nameless


def _at(clock, outcome):
    return _screening(f"2026-02-03T{clock}:00-06:00", outcome)


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ([("09:00", "refer"), ("08:40", "give-15")], "refer"),
        ([("08:40", "give-15"), ("09:00", "give-30")], "give-30"),
        ([("09:00", "refer"), ("09:20", "give-15")], "give-15"),
        ([("09:00", "contraindicated"), ("09:00", "refer")], "contraindicated"),
        ([("09:00", "give-30"), ("09:00", "give-15")], "give-30"),
    ],
    ids=[
        *("an earlier one typed in later", "a later one", "asked again"),
        *("two of one minute", "two that give"),
    ],
)
def test_the_last_asked_counts_and_in_doubt_the_strictest(typed, counts):
    state = PersonState(screenings=tuple(_at(*each) for each in typed))

    assert last_screening(state, TUESDAY, ZONE).outcome == counts


@pytest.mark.parametrize(("outcome", "counts"), [("give-30", False), ("not-today", True)])
def test_one_that_may_be_of_yesterday_counts_only_against_the_dose(outcome, counts):
    over_midnight = structs.replace(
        _at("00:10", outcome), lo_ms=to_ms(read_instant("2026-02-02T23:50-06:00"))
    )
    state = PersonState(screenings=(over_midnight,))

    assert (last_screening(state, TUESDAY, ZONE) is not None) is counts


@pytest.mark.parametrize(("dose", "stands"), [(1, True), (None, True), (2, False)])
def test_a_stricter_one_for_the_same_dose_stands_against_one_typed_in(dose, stands):
    state = PersonState(screenings=(_at("09:00", "refer"),))
    typed = structs.replace(_at("08:40", "give-15"), dose_number=dose)

    assert (stricter_screening(state, typed, ZONE) is not None) is stands


def test_answers_and_what_the_lead_decided_are_folded_with_their_times():
    asked = ScreeningAnswered(person="P", outcome="refer", answers=(), reasons=("Q4=refer",))
    first = PERSON.step("P", None, entry(asked, 10))
    cleared = ScreeningCleared(
        person="P", screening=first.screenings[0].entry, outcome="give-30", why="other"
    )
    other = structs.replace(cleared, screening="another")

    assert PERSON.step("P", first, entry(other, 20)) == first
    (screening,) = PERSON.step("P", first, entry(cleared, 20)).screenings
    assert (screening.outcome, screening.reasons) == ("give-30", ("Q4=refer",))
    assert (screening.lo_ms, screening.hi_ms) == (to_ms(at("12:10")), to_ms(at("12:10")))


def test_one_asked_after_the_dose_is_none_before_it():
    state = PersonState(screenings=(_at("09:30", "give-15"),))

    assert last_screening(state, at("09:00"), ZONE) is None
