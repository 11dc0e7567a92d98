"""
Call sheets: who did not come, is late, left early or has no arm on record, and each call.

Names and phones are read from `identity.db` when the sheet is made, and never recorded.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, partial

from thawline.app.acts import Doing, Outcome, act, by_its_own_id, part_of
from thawline.app.booking_anew import book_anew
from thawline.app.elsewhere import days_elsewhere
from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.app.second_places import Contact, contact_of
from thawline.app.standby import LATE
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_date, midnight_before, to_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.person_events import FollowUpCalled
from thawline.observe.stay_fold import STAY
from thawline.person.away import AWAY
from thawline.person.bookings import (
    SECOND,
    had_dose_on,
)
from thawline.person.desk import DESK
from thawline.person.fold import PERSON, Booking, PersonState
from thawline.person.follow_up import (
    FOLLOW_UP,
    OPEN,
    About,
    Result,
    Try,
    is_closed,
    missed_place,
    tries_about,
)
from thawline.rebook.due import Standing, second_due
from thawline.rebook.series import RuleOn, awaited, dose_days, on_day

_FIT = {
    About.NO_SHOW: {Result.REBOOKED, Result.DECLINES, Result.HAD_ELSEWHERE},
    About.LATE: {Result.REBOOKED, Result.DECLINES, Result.HAD_ELSEWHERE},
    About.LEFT_EARLY: {Result.WELL, Result.UNWELL},
    About.NO_ARM: {Result.PUT_RIGHT},
}
"""What closes which matter; a try that reached nobody fits any."""


@dataclass(frozen=True, slots=True)
class ToCall:
    """One matter with one person: since when, how they are reached, and the tries so far."""

    person: str
    about: About
    day: date
    at: Instant
    contact: Contact
    needs: str
    tries: tuple[Try, ...]


def call_sheet(site: Site, on: date, now: Instant, *, closed: bool = False) -> list[ToCall]:
    """Return whom to call about a local day, by matter and time; those settled if `closed`."""
    if on > local_date(now, site.zone):
        raise RecordError(f"{on.isoformat()} has not come yet", advice="name a day that was")
    with site.ledger.view() as view:
        found = [
            _to_call(site, view, person, about, on, at)
            for person, about, at in _matters(site, view, dict(view.all(PERSON)), on, now)
        ]
    wanted = [each for each in found if closed or not is_closed(each.tries)]
    order = list(About)
    return sorted(wanted, key=lambda each: (order.index(each.about), each.at, each.person))


def not_come(site: Site, view: View, on: date) -> list[tuple[str, Booking]]:
    """Return each place of a local day that nobody came to, with whose it is, by its time."""
    rule_on = cache(rules_by_time(site, view))
    places = (
        (person, _missed(site, view, person, on, rule_on)) for person, _ in view.all(PERSON)
    )
    found = [(person, place) for person, place in places if place is not None]
    return sorted(found, key=lambda each: (each[1].slot_ms, each[0]))


_Matter = tuple[str, About, Instant]


def _matters(
    site: Site, view: View, people: Mapping[str, PersonState], on: date, now: Instant
) -> Iterator[_Matter]:
    rule_on, elsewhere = cache(rules_by_time(site, view)), days_elsewhere(view, on)
    for person, place in not_come(site, view, on):
        if now >= from_ms(place.slot_ms) + LATE:
            yield person, About.NO_SHOW, from_ms(place.slot_ms)
    for person, state in people.items():
        yield from _no_arm(site, person, state, on)
        yield from _left_early(site, view, person, on)
    for each in second_due(people.items(), on, rule_on, elsewhere).due:
        if each.standing is Standing.LATE and (each.booked is None or each.booked < on):
            yield each.person, About.LATE, midnight_before(each.late_after, site.zone)


def _missed(site: Site, view: View, person: str, on: date, rule_on: RuleOn) -> Booking | None:
    """Return the place of a day that nobody came to, one for a repeat of a dose among them."""
    state = view.one(PERSON, person) or PersonState()
    desk, away = view.one(DESK, person), view.one(AWAY, person)
    had = dose_days(state)
    to_come = awaited(had, on_day(on), rule_on) if len(had) > 1 else None  # else no repeat
    waits_for = SECOND if to_come is not None and to_come.repeats else None
    return missed_place(state, desk, away, on, site.zone, waits_for)


def _no_arm(site: Site, person: str, state: PersonState, on: date) -> Iterator[_Matter]:
    for dose in state.doses:
        at = from_ms(dose.hi_ms)
        if dose.arm is None and local_date(at, site.zone) == on:
            yield person, About.NO_ARM, at


def _left_early(site: Site, view: View, person: str, on: date) -> Iterator[_Matter]:
    stay = view.one(STAY, person)
    for left in () if stay is None else stay.left:
        at = from_ms(left.at_ms)
        if left.early and local_date(at, site.zone) == on:
            yield person, About.LEFT_EARLY, at


def _to_call(
    site: Site, view: View, person: str, about: About, on: date, at: Instant
) -> ToCall:
    state = view.one(PERSON, person) or PersonState()
    needs = [booking.needs for booking in state.bookings if booking.needs]
    day = _day_of(site, about, on, at)
    tries = tries_about(view.one(FOLLOW_UP, person), about, day)
    contact = contact_of(site, person)
    return ToCall(person, about, day, at, contact, needs[-1] if needs else "", tries)


def _day_of(site: Site, about: About, on: date, at: Instant) -> date:
    """Return the day a matter is of: for somebody late the last day of their window."""
    return local_date(at, site.zone) if about is About.LATE else on


@dataclass(frozen=True, slots=True)
class Said:
    """What came of a call: about what, of which day, and the new place where one was booked."""

    about: About
    day: date
    result: Result
    place: Instant | None = None


def called(site: Site, doing: Doing, person: str, said: Said) -> Outcome:
    """
    Record a call; a place agreed on it is booked first, and may be refused.

    Asked again with its id, one that was cut off after the booking books no second place.

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RecordError: The result does not fit, the day has not come, or a place is missing.
        RefusedError: The person may not have that place; nothing is recorded.
    """
    _refuse_unfit(site, doing, said)
    with site.ledger.view() as view:
        known = _is_matter(site, view, person, said, doing.at)
        is_before = view.entry(doing.id) is not None
    if said.place is not None and not is_before:  # recorded before, it is booked already
        with by_its_own_id(doing):
            anew = part_of(site, doing, "place")
            book_anew(site, anew, person, said.place, partial(_dose_number, site, person, said))
    event = FollowUpCalled(
        person=person,
        about=said.about.value,
        day=said.day.isoformat(),
        result=said.result.value,
        slot_ms=None if said.place is None else to_ms(said.place),
    )

    def decide(view: View) -> Decision:
        if view.one(PERSON, person) is None:
            raise NotFoundError(f"no person {person!r} here", advice="thawline person sheet")
        found = (*_findings(person, said.result), *(() if known else _no_matter(person, said)))
        return Decision(event, found)

    command: dict[str, Plain] = {
        "command": "person called",
        "person": person,
        "about": event.about,
        "day": event.day,
        "result": event.result,
        "slot_ms": event.slot_ms,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _is_matter(site: Site, view: View, person: str, said: Said, now: Instant) -> bool:
    """Say whether the call is about what a sheet names, or named before it was put right."""
    state = view.one(PERSON, person) or PersonState()
    tries = tries_about(view.one(FOLLOW_UP, person), said.about, said.day)
    if any(each.result == Result.REBOOKED for each in tries):
        return True
    if said.about is About.NO_ARM:
        return had_dose_on(state, said.day, site.zone)
    day_after = said.day + timedelta(days=1)
    on = min(day_after, local_date(now, site.zone)) if said.about is About.LATE else said.day
    found = _matters(site, view, {person: state}, on, now)
    return any(
        (about, _day_of(site, about, on, at)) == (said.about, said.day)
        for _, about, at in found
    )


def _no_matter(person: str, said: Said) -> tuple[Finding, ...]:
    says = (
        f"{person} is on no sheet as {said.about.value} of {said.day.isoformat()}: look at the "
        "code, the matter and the day. The call is kept as it was made."
    )
    return (Finding(Level.CHECK, "on-no-sheet", says),)


def _refuse_unfit(site: Site, doing: Doing, said: Said) -> None:
    fit = _FIT[said.about] | OPEN
    if said.result not in fit:
        known = ", ".join(each.value for each in Result if each in fit)
        raise RecordError(
            f"a call about {said.about.value} cannot end with {said.result.value}",
            advice=f"one of {known}",
        )
    if said.day > local_date(doing.at, site.zone):
        raise RecordError(f"{said.day.isoformat()} has not come yet")
    if (said.result is Result.REBOOKED) != (said.place is not None):
        raise RecordError(
            "rebooked and a new place go together", advice="add --place 2026-02-10T10:00"
        )


def _dose_number(site: Site, person: str, call: Said, view: View) -> int | None:
    """Return which dose the new place is for, where the matter tells: the one missed."""
    if call.about is About.LATE:
        return SECOND
    missed = _missed(site, view, person, call.day, cache(rules_by_time(site, view)))
    return None if missed is None else missed.dose_number


def _findings(person: str, result: Result) -> tuple[Finding, ...]:
    if result is Result.UNWELL:
        says = f"{person} feels unwell: the clinical lead calls now; a reaction is reported."
        return (Finding(Level.ACT, "unwell", says),)
    if result is Result.WRONG_NUMBER:
        says = f"The number kept of {person} is wrong: find another, thawline person amend."
        return (Finding(Level.ACT, "wrong-number", says),)
    if result is Result.HAD_ELSEWHERE:
        says = f"Type it from the card: thawline dose told {person} DATE"
        return (Finding(Level.CHECK, "type-the-card", says),)
    return ()
