"""
Call sheets: who did not come, is late, left early or has no arm on record, and each call.

Names and phones are read from `identity.db` when the sheet is made, and never recorded.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cache

from thawline.app.acts import Doing, Outcome, act, by_its_own_id, part_of
from thawline.app.booking_rows import Moment, against, age_against, identity_of
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.ports import Site
from thawline.app.second_places import Contact, contact_of
from thawline.app.standby import LATE
from thawline.base.errors import NotFoundError, RecordError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_date, midnight_before, to_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import PersonBooked
from thawline.ledger.person_events import FollowUpCalled
from thawline.observe.stay_fold import STAY
from thawline.person.bookings import Wanted, dose_number_at
from thawline.person.desk import DESK
from thawline.person.fold import PERSON, PersonState
from thawline.person.follow_up import (
    FOLLOW_UP,
    About,
    Result,
    Try,
    is_closed,
    missed_place,
    tries_about,
)
from thawline.rebook.due import Standing, second_due

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
            for person, about, at in _matters(site, view, on, now)
        ]
    wanted = [each for each in found if closed or not is_closed(each.tries)]
    order = list(About)
    return sorted(wanted, key=lambda each: (order.index(each.about), each.at, each.person))


_Matter = tuple[str, About, Instant]


def _matters(site: Site, view: View, on: date, now: Instant) -> Iterator[_Matter]:
    people = list(view.all(PERSON))
    for person, state in people:
        place = missed_place(state, view.one(DESK, person), on, site.zone)
        if place is not None and now >= from_ms(place.slot_ms) + LATE:
            yield person, About.NO_SHOW, from_ms(place.slot_ms)
        yield from _no_arm(site, person, state, on)
    yield from _left_early(site, view, on)
    due = second_due(people, on, cache(rules_by_time(site, view))).due
    for each in due:
        if each.standing is Standing.LATE and (each.booked is None or each.booked < on):
            yield each.person, About.LATE, midnight_before(each.late_after, site.zone)


def _no_arm(site: Site, person: str, state: PersonState, on: date) -> Iterator[_Matter]:
    for dose in state.doses:
        at = from_ms(dose.hi_ms)
        if dose.arm is None and local_date(at, site.zone) == on:
            yield person, About.NO_ARM, at


def _left_early(site: Site, view: View, on: date) -> Iterator[_Matter]:
    for person, stay in view.all(STAY):
        for left in stay.left:
            at = from_ms(left.at_ms)
            if left.early and local_date(at, site.zone) == on:
                yield person, About.LEFT_EARLY, at


def _to_call(
    site: Site, view: View, person: str, about: About, on: date, at: Instant
) -> ToCall:
    state = view.one(PERSON, person) or PersonState()
    needs = [booking.needs for booking in state.bookings if booking.needs]
    day = local_date(at, site.zone) if about is About.LATE else on
    tries = tries_about(view.one(FOLLOW_UP, person), about, day)
    contact = contact_of(site, person)
    return ToCall(person, about, day, at, contact, needs[-1] if needs else "", tries)


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

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RecordError: The result does not fit, the day has not come, or a place is missing.
        RefusedError: The person may not have that place; nothing is recorded.
    """
    _refuse_unfit(site, doing, said)
    if said.place is not None and not _is_before(site, doing):
        with by_its_own_id(doing):
            _rebook(site, doing, person, said.place)
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
        return Decision(event, _findings(person, said.result))

    command: dict[str, Plain] = {
        "command": "person called",
        "person": person,
        "about": event.about,
        "day": event.day,
        "result": event.result,
        "slot_ms": event.slot_ms,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _is_before(site: Site, doing: Doing) -> bool:
    """Say whether this very call was recorded before; its place is booked then."""
    with site.ledger.view() as view:
        return view.entry(doing.id) is not None


def _refuse_unfit(site: Site, doing: Doing, said: Said) -> None:
    open_too = {Result.NO_ANSWER, Result.MESSAGE, Result.WRONG_NUMBER}
    fit = _FIT[said.about] | open_too
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


def _rebook(site: Site, doing: Doing, person: str, place: Instant) -> None:
    def decide(view: View) -> Decision:
        state = view.one(PERSON, person)
        if state is None:
            raise NotFoundError(f"no person {person!r} here", advice="thawline person sheet")
        rules = in_force(site, view, doing.at)
        wanted = Wanted(place, local_date(place, site.zone), dose_number_at(state, place))
        rule_on = cache(rules_by_time(site, view))
        moment = Moment(doing.at, site.zone.key, rule_on, rules.protocol.screening)
        name = site.people.get(person)
        born = identity_of(name).born if name else None
        young = age_against(born, wanted.day, moment)
        reason = against(state, wanted, moment) or young or _over(site, place, doing.at)
        if reason:
            raise RefusedError([Finding(Level.STOP, "no-place", f"{person}: {reason}")])
        said = state.bookings[-1:] or None
        event = PersonBooked(
            person=person,
            slot_ms=to_ms(place),
            dose_number=wanted.dose_number,
            language=said[0].language if said else "",
            needs=said[0].needs if said else "",
            group=said[0].group if said else "",
        )
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {
        "command": "booking anew",
        "person": person,
        "slot_ms": to_ms(place),
    }
    act(site, part_of(site, doing, "place"), command, decide)


def _over(site: Site, place: Instant, now: Instant) -> str | None:
    if place > now:
        return None
    return f"a place on {local_date(place, site.zone).isoformat()}, which is over"


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
