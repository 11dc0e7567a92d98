"""
Who is called after a day, about what, and what came of each try.

A call that reached somebody closes the matter of that day; nobody answering, a message and a
wrong number leave it open, with the tries counted. A new place closes nothing by itself: it
settles the matter while it is to come. See docs/background/call-sheets.md.
"""

from datetime import date
from enum import StrEnum
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import from_ms, local_date
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.person_events import FollowUpCalled
from thawline.person.away import AwayState
from thawline.person.bookings import SECOND, had_dose_on
from thawline.person.desk import DeskState, was_seen_on
from thawline.person.fold import Booking, PersonState


class About(StrEnum):
    """Why somebody is called."""

    NO_SHOW = "no-show"
    LATE = "late"
    LEFT_EARLY = "left-early"
    NO_ARM = "no-arm"


class Result(StrEnum):
    """What came of a call."""

    REBOOKED = "rebooked"
    DECLINES = "declines"
    HAD_ELSEWHERE = "had-elsewhere"
    WELL = "well"
    UNWELL = "unwell"
    PUT_RIGHT = "put-right"
    NO_ANSWER = "no-answer"
    MESSAGE = "message"
    WRONG_NUMBER = "wrong-number"


OPEN = frozenset({Result.NO_ANSWER, Result.MESSAGE, Result.WRONG_NUMBER})
"""Results of a try that reached nobody."""


class Try(Struct, frozen=True):
    """One call, about one day."""

    at_ms: int
    about: str
    day: str
    result: str
    by: str


class FollowUpState(Struct, frozen=True):
    """Every call to one person, in the ledger's order."""

    tries: tuple[Try, ...] = ()


class FollowUpFold:
    """Entries to `FollowUpState`, keyed by the person's code."""

    name = "follow_up"
    state_type = FollowUpState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({FollowUpCalled})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the person the event is about; nothing for other events."""
        return (event.person,) if isinstance(event, FollowUpCalled) else ()

    def step(self, key: str, state: FollowUpState | None, entry: Entry) -> FollowUpState:  # noqa: ARG002
        """Return the calls after the entry."""
        before, event = state or FollowUpState(), _called(entry.event)
        made = Try(entry.hi_ms, event.about, event.day, event.result, entry.by)
        return replace(before, tries=(*before.tries, made))


def _called(event: Any) -> FollowUpCalled:
    """Return the event as what `keys` lets through."""
    assert isinstance(event, FollowUpCalled)  # noqa: S101  `keys` lets nothing else through
    return event


FOLLOW_UP = FollowUpFold()
"""The one fold of calls; it keeps nothing between calls."""


def tries_about(state: FollowUpState | None, about: About, day: date) -> tuple[Try, ...]:
    """Return the calls about one matter of one day, in the order they were made."""
    made = () if state is None else state.tries
    about_it = [each for each in made if (each.about, each.day) == (about, day.isoformat())]
    return tuple(sorted(about_it, key=lambda each: each.at_ms))


def is_closed(tries: tuple[Try, ...]) -> bool:
    """Say whether the last call settled it; a new place that was missed settled nothing."""
    return bool(tries) and tries[-1].result not in {*OPEN, Result.REBOOKED}


def missed_place(
    state: PersonState,
    desk: DeskState | None,
    away: AwayState | None,
    day: date,
    zone: ZoneInfo,
    waits_for: int | None = None,
) -> Booking | None:
    """
    Return the place of a day that nobody came to; None where somebody did, or none was.

    Known at the desk by two identifiers, screened, checked or left without a dose is having
    come; a comparison that differs is not. A later place for the same dose settles it, here
    or at another site, and so does that very dose had on another day; but not the one that
    the person still waits for, `waits_for`, as one of that number is to be repeated.
    """
    had = {dose.dose_number for dose in state.doses} - {waits_for}
    places = [
        each
        for each in state.bookings
        if _on(each.slot_ms, zone) == day
        and each.dose_number not in had
        and not _has_later_place(state, away, each)
    ]
    if not places or had_dose_on(state, day, zone):
        return None
    asked = [*(each.hi_ms for each in state.screenings), *(each.at_ms for each in state.checks)]
    if was_seen_on(desk, day, zone, asked):
        return None
    return max(places, key=lambda each: each.slot_ms)


def _has_later_place(state: PersonState, away: AwayState | None, place: Booking) -> bool:
    slots = [b.slot_ms for b in state.bookings if b.dose_number == place.dose_number]
    if away is not None and place.dose_number == SECOND:
        slots += [each.slot_ms for each in away.passed_on]
    return any(slot_ms > place.slot_ms for slot_ms in slots)


def _on(at_ms: int, zone: ZoneInfo) -> date:
    return local_date(from_ms(at_ms), zone)
