"""Which screening of a person counts: the last of the local day, for the dose asked about."""

from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.instants import read_instant, to_ms
from thawline.person.fold import PersonState, Screening, screened_on

ZONE = ZoneInfo("America/Chicago")
TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)


def _screening(at: str, outcome: str = "give-15", dose: int | None = 1) -> Screening:
    return Screening(
        at_ms=to_ms(read_instant(at)),
        zone=ZONE.key,
        by="Sorrel",
        outcome=outcome,
        reasons=(),
        until=None,
        dose_number=dose,
        entry=at,
    )


LATE = _screening("2026-02-03T23:59:59-06:00", "refer")
EARLY = _screening("2026-02-03T00:00:00-06:00")
STATE = PersonState(screenings=(EARLY, LATE))


def test_the_last_screening_of_the_day_counts():
    assert screened_on(STATE, TUESDAY, ZONE) == LATE


def test_answers_expire_at_local_midnight():
    assert screened_on(STATE, WEDNESDAY, ZONE) is None
    assert screened_on(PersonState(), TUESDAY, ZONE) is None


def test_a_screening_for_another_dose_does_not_count():
    assert screened_on(STATE, TUESDAY, ZONE, 1) == LATE
    assert screened_on(STATE, TUESDAY, ZONE, 2) is None


def test_a_screening_that_names_no_dose_counts_for_either():
    nameless = _screening("2026-02-03T12:00:00-06:00", dose=None)

    assert screened_on(PersonState(screenings=(nameless,)), TUESDAY, ZONE, 2) == nameless
