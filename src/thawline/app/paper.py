"""What a site needs on paper before the power goes: who comes, and when the paper is old."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from thawline.app.standings import Stood
from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.entries import View
from thawline.person.desk import DESK
from thawline.person.fold import PERSON


@dataclass(frozen=True, slots=True)
class Coming:
    """
    Somebody with a place on the day.

    Args:
        person: Their code.
        at: The time of the place.
        dose_number: The dose that it is for.
        needs: Help needed, as it was said; empty: none was.
        came: They have come, or have had a dose, that day.
    """

    person: str
    at: Instant
    dose_number: int
    needs: str
    came: bool


def coming_on(view: View, day: date, zone: ZoneInfo) -> list[Coming]:
    """Return everybody with a place on the day, by its time, then by their code."""
    met = {
        code: any(_is_on(day, each.hi_ms, zone) for each in desk.met)
        for code, desk in view.all(DESK)
    }
    found = [
        Coming(
            person=code,
            at=from_ms(place.slot_ms),
            dose_number=place.dose_number,
            needs=place.needs,
            came=met.get(code, False)
            or any(_is_on(day, dose.hi_ms, zone) for dose in state.doses),
        )
        for code, state in view.all(PERSON)
        for place in state.bookings
        if _is_on(day, place.slot_ms, zone)
    ]
    return sorted(found, key=lambda each: (each.at, each.person))


def old_from(stands: Iterable[Stood], now: Instant) -> Instant | None:
    """
    Return when a list of vials is old even if nothing is recorded; None: not by itself.

    That is the next moment at which one of them becomes ready or comes to its use-by.
    """
    turns = (at for each in stands for at in (each.reckoning.ready_at, each.reckoning.use_by))
    return min((at for at in turns if at is not None and at > now), default=None)


def _is_on(day: date, at_ms: int, zone: ZoneInfo) -> bool:
    return local_date(from_ms(at_ms), zone) == day
