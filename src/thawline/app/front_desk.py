"""
What the front desk sees of a person before a word is said: place, dose, dates, help.

Nothing is recorded by looking. Who it is stays in `identity.db`; here are codes and dates.
"""

from dataclasses import dataclass
from datetime import date
from functools import cache

from thawline.app.in_force import rules_by_time
from thawline.app.on_record import is_on_record
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError
from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.entries import View
from thawline.person.desk import (
    DESK,
    DeskState,
    Met,
    Said,
    Sent,
    last_consent,
    last_met,
    sent_on,
)
from thawline.person.fold import PERSON, Booking, PersonState
from thawline.rebook.due import booking_findings
from thawline.rebook.series import Awaited, awaited, dose_days, on_day


@dataclass(frozen=True, slots=True)
class AtDesk:
    """
    One person as the desk sees them on a day.

    Args:
        person: The code.
        state: What the ledger holds of them.
        place: Their place of today, None without one.
        later: The places that are still to come after today.
        dose_number: The dose that is next by the record.
        to_come: The dates of the dose after the first; None where none is awaited.
        too_early: Whether that dose may not be given today.
        met: How they were compared today; None: not yet.
        said: What they said to the dose today; None: nothing is on record.
        sent: Where they were sent today, the newest; None: nowhere.
    """

    person: str
    state: PersonState
    place: Booking | None
    later: tuple[Booking, ...]
    dose_number: int
    to_come: Awaited | None
    too_early: bool
    met: Met | None
    said: Said | None
    sent: Sent | None

    @property
    def language(self) -> str:
        """The language that was said last; empty where nobody said one."""
        return next((b.language for b in reversed(self.state.bookings) if b.language), "")

    @property
    def needs(self) -> str:
        """The help that was asked for last; empty where nobody said any."""
        return next((b.needs for b in reversed(self.state.bookings) if b.needs), "")


def at_desk(site: Site, view: View, person: str, at: Instant) -> AtDesk:
    """
    Return what the desk sees of a person today.

    Raises:
        NotFoundError: Nobody of that code is on record here.
    """
    state = view.one(PERSON, person)
    if state is None and not is_on_record(view, person):
        raise NotFoundError(
            f"nobody has the code {person} here", advice="type the name, or take in a walk-up"
        )
    state = state or PersonState()  # on the standby list alone
    today = local_date(at, site.zone)
    rule_on = cache(rules_by_time(site, view))
    days = dose_days(state)
    desk = view.one(DESK, person)
    early = booking_findings(days, today, rule_on)
    return AtDesk(
        person=person,
        state=state,
        place=_place_on(site, state, today),
        later=tuple(b for b in state.bookings if _day(site, b) > today),
        dose_number=len(days) + 1,
        to_come=awaited(days, on_day(today), rule_on),
        too_early=any(each.code == "too-early" for each in early),
        met=last_met(desk, at, site.zone),
        said=last_consent(desk, at, site.zone),
        sent=sent_on(desk, today, site.zone),
    )


def _day(site: Site, booking: Booking) -> date:
    return local_date(from_ms(booking.slot_ms), site.zone)


def _place_on(site: Site, state: PersonState, day: date) -> Booking | None:
    return next((b for b in reversed(state.bookings) if _day(site, b) == day), None)


def last_edition(view: View) -> str:
    """Return the edition of the information that was given last; empty where none was."""
    said = [each for _, desk in view.all(DESK) for each in _with_edition(desk)]
    return max(said, key=lambda each: each.hi_ms).edition if said else ""


def _with_edition(desk: DeskState) -> tuple[Said, ...]:
    return tuple(each for each in desk.said if each.edition)
