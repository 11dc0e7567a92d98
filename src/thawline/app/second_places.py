"""
Places for second doses: given to those without one, and moved off a day that cannot be kept.

Each is one act for everybody together. The days are worked out again inside the act, from the
ledger as it stands then, so that two who plan at once cannot give a place twice.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass
from datetime import date, time
from functools import cache

from thawline.app.acts import Doing, Outcome, act
from thawline.app.elsewhere import elsewhere_on
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import (
    Instant,
    from_ms,
    local_date,
    local_instant,
    local_time,
    to_ms,
    zone_named,
)
from thawline.ledger.entries import Decision, Plain, View
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved
from thawline.person.fold import PERSON, PersonState
from thawline.plan.second_places import Asked, Assignment, Given, assigned
from thawline.rebook.series import DoseDay
from thawline.rebook.to_come import ToCome, day_of, second_doses_to_come

_FIRST = 1


@dataclass(frozen=True, slots=True)
class Contact:
    """How a person is reached; None where nothing of the kind is kept."""

    called: str | None
    phone: str | None
    mail: str | None
    language: str | None

    @property
    def is_reachable(self) -> bool:
        """Whether there is a phone or a mail address at all."""
        return bool(self.phone or self.mail)


@dataclass(frozen=True, slots=True)
class Planned:
    """
    What is planned: the days, what is not, and the act if there was anything to record.

    `not_known`: people whose day 28 nobody can say; they keep what they have. `doses_a_vial`
    is what the protocol counts on. `slots` are the new places by person.
    """

    assignment: Assignment
    not_known: tuple[str, ...]
    slots: Mapping[str, Instant]
    earliest_day: int | None
    doses_a_vial: int
    outcome: Outcome | None


@dataclass(frozen=True, slots=True)
class _Question:
    """Who is to be placed, on which days; `left` is the day they leave, None if without one."""

    places: Mapping[date, int]
    wanted: Callable[[View], Callable[[ToCome], Asked | None]]
    otherwise: time
    left: date | None


@dataclass(frozen=True, slots=True)
class _Found:
    """What one look at the ledger gives."""

    people: Mapping[str, ToCome]
    assignment: Assignment
    not_known: tuple[str, ...]
    slots: Mapping[str, Instant]
    decision: Decision | None
    doses_a_vial: int


def without_place(
    today: date, elsewhere: Set[str] = frozenset()
) -> Callable[[ToCome], Asked | None]:
    """Return what picks out who has no place from today on, here or elsewhere, with days."""

    def wanted(each: ToCome) -> Asked | None:
        has_one = each.place_day is not None and each.place_day >= today
        if has_one or each.person in elsewhere:
            return None
        return Asked(each.person, max(each.awaited.due, today), each.awaited.late_after)

    return wanted


def assign(
    site: Site,
    doing: Doing,
    places: Mapping[date, int],
    otherwise: time,
    there: Set[str] = frozenset(),
) -> Planned:
    """
    Give a place to everybody who waits for a second dose and has none to come.

    The time of day is that of their first dose; `otherwise` where nobody knows it. `there`:
    who has a place at another site, of which no word came here.

    Raises:
        RecordError: Nobody is named for it, or the days cannot be.
    """
    today = local_date(doing.at, site.zone)

    def wanted(view: View) -> Callable[[ToCome], Asked | None]:
        return without_place(today, there | elsewhere_on(view, today).keys())

    asked = _Question(places, wanted, otherwise, left=None)
    return _planned(site, doing, _command(places), asked)


def placed_before(
    site: Site, doing: Doing, places: Mapping[date, int], left: date | None = None
) -> Outcome | None:
    """
    Return the outcome of the same act asked again, by its id; None where it is a new one.

    Raises:
        ReusedIdError: The id stands for another act, or for other places.
    """
    with site.ledger.view() as view:
        if doing.dry_run or view.entry(doing.id) is None:
            return None
    return act(site, doing, _command(places, left), _recorded_already)


def _recorded_already(_view: View) -> Decision:
    raise AssertionError("an act that is in the ledger is not decided again")


def _command(places: Mapping[date, int], left: date | None = None) -> dict[str, Plain]:
    spoken: Plain = {day.isoformat(): count for day, count in sorted(places.items())}
    if left is None:
        return {"command": "second assign", "places": spoken}
    return {"command": "second move", "from": left.isoformat(), "places": spoken}


def move_places(site: Site, doing: Doing, left: date, places: Mapping[date, int]) -> Planned:
    """
    Put everybody who has a place for a second dose on one day on other days.

    They keep their time of day. Nobody is moved to an earlier day than the one they had.

    Raises:
        RecordError: Nobody is named for it, or the days cannot be, or are the day itself.
    """
    if left in places:
        raise RecordError(
            f"{left.isoformat()} is the day that is closed", advice="name other days"
        )

    def wanted(each: ToCome) -> Asked | None:
        if each.place_day != left:
            return None
        return Asked(each.person, max(each.awaited.due, left), each.awaited.late_after)

    asked = _Question(places, lambda _view: wanted, time(), left)
    return _planned(site, doing, _command(places, left), asked)


def contact_of(site: Site, person: str) -> Contact:
    """Return how the person is reached, from `identity.db` alone."""
    name = site.people.get(person)
    if name is None:
        return Contact(None, None, None, None)
    return Contact(
        name.called or None, name.phone or None, name.mail or None, name.language or None
    )


def _planned(
    site: Site, doing: Doing, command: Mapping[str, Plain], question: _Question
) -> Planned:
    with site.ledger.view() as view:
        found = _look(site, view, doing, question)
    outcome = None
    if found.decision is not None:
        kept = [found]

        def decide(view: View) -> Decision:
            kept.append(_look(site, view, doing, question))
            if kept[-1].decision is None:
                raise RecordError("nobody is left to place: somebody else was faster")
            return kept[-1].decision

        outcome = act(site, doing, command, decide)
        found = kept[-1]
    return Planned(
        found.assignment,
        found.not_known,
        found.slots,
        min(map(_day_number(found.people), found.assignment.given), default=None),
        found.doses_a_vial,
        outcome,
    )


def _day_number(people: Mapping[str, ToCome]) -> Callable[[Given], int]:
    def day_number(given: Given) -> int:
        return (given.day - people[given.asked.person].awaited.counted_from).days

    return day_number


def _look(site: Site, view: View, doing: Doing, question: _Question) -> _Found:
    """Return the plan as the ledger stands in this view."""
    places, left = question.places, question.left
    refuse_past(places, local_date(doing.at, site.zone))
    rules, states = in_force(site, view, doing.at), dict(view.all(PERSON))
    then = DoseDay(min(places), max(places))
    waits = second_doses_to_come(states.items(), then, cache(rules_by_time(site, view)))
    wanted = question.wanted(view)
    pairs = [(each, wanted(each)) for each in waits.people]
    people = {each.person: each for each, asked in pairs if asked is not None}
    found = assigned(
        [asked for _, asked in pairs if asked is not None], free_places(states.values(), places)
    )
    slots = {
        each.asked.person: local_instant(
            each.day, _time_of_day(people[each.asked.person], question), site.zone
        )
        for each in found.given
    }
    return _Found(
        people,
        found,
        tuple(person for person in waits.not_known if _concerned(states[person], left)),
        slots,
        Decision(_event(people, slots, left), (), rules.ref) if slots else None,
        rules.protocol.product.doses_per_vial.value,
    )


def refuse_past(places: Mapping[date, int], today: date) -> None:
    """Refuse days that are over, or none at all, as RecordError."""
    if not places:
        raise RecordError("no day has places", advice="add --places 2026-03-07=300")
    if min(places) < today:
        raise RecordError(
            f"{min(places).isoformat()} is over; today is {today.isoformat()}",
            advice="name days to come",
        )


def free_places(states: Iterable[PersonState], places: Mapping[date, int]) -> dict[date, int]:
    """Return the places that are left beside those booked for that day, for either dose."""
    taken = Counter(day_of(booking) for state in states for booking in state.bookings)
    return {day: max(0, count - taken[day]) for day, count in places.items()}


def _concerned(state: PersonState, left: date | None) -> bool:
    return left is None or any(
        booking.dose_number > _FIRST and day_of(booking) == left for booking in state.bookings
    )


def _time_of_day(each: ToCome, question: _Question) -> time:
    """Return the time of the place that is left, else of the first dose's place."""
    if question.left is not None and each.place is not None:
        return local_time(from_ms(each.place.slot_ms), zone_named(each.place.zone))
    first = [booking for booking in each.state.bookings if booking.dose_number == _FIRST]
    if not first:
        return question.otherwise
    return local_time(from_ms(first[-1].slot_ms), zone_named(first[-1].zone))


def _event(
    people: Mapping[str, ToCome], slots: Mapping[str, Instant], left: date | None
) -> SecondDosesAssigned | SecondDosesMoved:
    order = tuple(sorted(slots))
    slots_ms = tuple(to_ms(slots[person]) for person in order)
    if left is None:
        return SecondDosesAssigned(people=order, slots_ms=slots_ms)
    places = (people[person].place for person in order)
    left_ms = tuple(place.slot_ms for place in places if place is not None)
    return SecondDosesMoved(people=order, left_ms=left_ms, slots_ms=slots_ms)
