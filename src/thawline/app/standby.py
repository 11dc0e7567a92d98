"""The standby list: put somebody on it, say whom to call now, record what a call came to."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from thawline.app.acts import Doing, Outcome, act
from thawline.app.booking_rows import MINTED, identity_of, minted_number
from thawline.app.in_force import in_force
from thawline.app.ports import Name, Site
from thawline.app.standings import all_stood
from thawline.app.until import until
from thawline.app.walk_ups import next_code
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, from_ms, local_date, to_ms
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.standby_events import StandbyAdded, StandbyCalled
from thawline.person.bookings import had_dose_on
from thawline.person.fold import PERSON, PersonState
from thawline.person.likeness import name_key, phone_key
from thawline.person.standby import (
    STANDBY,
    Answered,
    List,
    StandbyState,
    Waiting,
    called_on,
    list_at,
)
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import State

LAST_PLACE = timedelta(minutes=10)
"""How long the last booking's place lasts, if nobody says; the demo's own slots."""
LATE = timedelta(minutes=15)
"""Who is later than this is counted as staying away; our own judgement, said beside it."""
_LONGEST_TRAVEL = timedelta(days=1)
_FOLDS = (PERSON, LOT, VIAL, STANDBY)


@dataclass(frozen=True, slots=True)
class Told:
    """What somebody says who wants to be on the list."""

    travel_min: int
    priority: int | None = None
    name: Name | None = None


@dataclass(frozen=True, slots=True)
class ToCall:
    """One person to call now; the name is None where none is kept."""

    place: int
    waiting: Waiting
    name: Name | None


@dataclass(frozen=True, slots=True)
class Next:
    """
    Whom to call now, for how many doses that must be given before `use_by` and the close.

    `spare` doses are in open vials beyond the people still booked and on the way.
    """

    doses: int
    spare: int
    use_by: Instant | None
    close: Instant | None
    calls: tuple[ToCall, ...]
    on_list: int
    too_far: int
    on_the_way: int


def add(site: Site, doing: Doing, person: str, told: Told) -> Outcome:
    """
    Put somebody on the list; the name and number are kept apart from the ledger.

    What is kept of somebody already stays as it is: to change it is `person amend`, after
    which they are met again.

    Raises:
        RecordError: The travel time or the priority is none, or another name, birth date or
            phone is kept under that code.
        NotFoundError: The person is not known here, and no name is given.
    """
    if not 0 <= told.travel_min <= _LONGEST_TRAVEL // timedelta(minutes=1):
        raise RecordError(f"{told.travel_min} min to get here", advice="minutes within a day")
    if told.priority is not None and told.priority < 1:
        raise RecordError(f"priority {told.priority}", advice="1 is called first, then 2")
    event = StandbyAdded(person=person, travel_min=told.travel_min, priority=told.priority)

    def decide(view: View) -> Decision:
        state = view.one(PERSON, person)
        known = state is not None or view.one(STANDBY, person) is not None
        if not known and told.name is None and site.people.get(person) is None:
            raise NotFoundError(
                f"nobody has the code {person} here", advice="add --name NAME --phone NUMBER"
            )
        if state is not None and state.doses:
            raise RecordError(
                f"{person} had a dose here", advice=f"thawline second due, for {person}"
            )
        return Decision(event)

    command: dict[str, Plain] = {"command": "standby add", "person": person}
    if told.name is not None:
        with site.ledger.view() as view:
            if view.entry(doing.id) is None:
                decide(view)  # a name is kept only of somebody who may be on the list
        _keep_name(site, person, told.name, dry_run=doing.dry_run)
    return act(site, doing, command, decide)


def add_new(site: Site, doing: Doing, told: Told) -> Outcome:
    """Put somebody new on the list, under a code that stands for nobody yet."""
    with site.ledger.view() as view:
        entry = view.entry(doing.id)
        before = None if entry is None else entry.event
        code = before.person if isinstance(before, StandbyAdded) else next_code(view)
    if not isinstance(before, StandbyAdded):
        while site.people.get(code) is not None:
            code = f"{MINTED}{minted_number(code) + 1:06d}"
    return add(site, doing, code, told)


def _keep_name(site: Site, person: str, name: Name, *, dry_run: bool) -> None:
    """Keep a name under a code that stands for nobody yet; the same again is fine."""
    kept = site.people.get(person)
    if kept is None and not dry_run:
        kept = site.people.add_all({person: name}).get(person)
    if kept is None:
        return
    told, known = identity_of(name), identity_of(kept)
    if name_key(told.name) != name_key(known.name):
        raise RecordError(
            f"{person} stands for somebody else here", advice="use another code for this person"
        )
    if told.born not in (None, known.born):
        raise _other(person, "birth date", "--born DATE")
    if phone_key(told.phone) not in ("", phone_key(known.phone)):
        raise _other(person, "phone number", "--phone NUMBER")


def _other(person: str, what: str, option: str) -> RecordError:
    return RecordError(
        f"another {what} is kept of {person}, or none",
        advice=f"thawline person amend {person} {option}, then this without it",
    )


def answered(site: Site, doing: Doing, person: str, answer: Answered) -> Outcome:
    """
    Record what a call to somebody on the list came to; a fact.

    Raises:
        NotFoundError: The person is not on the list.
        RecordError: They were called today already: nobody is called twice for one dose.
    """

    def decide(view: View) -> Decision:
        state = view.one(STANDBY, person)
        if state is None or state.added_ms is None:
            raise NotFoundError(
                f"{person} is not on the standby list", advice="thawline standby next"
            )
        _not_called(site, state, person, doing.at)
        return Decision(StandbyCalled(person=person, answer=answer.value))

    command: dict[str, Plain] = {
        "command": "standby answer",
        "person": person,
        "answer": answer.value,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def _not_called(site: Site, state: StandbyState, person: str, at: Instant) -> None:
    calls = called_on(state, local_date(at, site.zone), site.zone)
    if calls:
        raise RecordError(
            f"{person} was called today and the answer was {calls[-1].answer}",
            advice="thawline journal correct, if that answer was wrong",
        )


def next_calls(site: Site, now: Instant, doses: int | None) -> Next:
    """
    Return whom to call now, one person a dose, in the list's order.

    Args:
        site: Where.
        now: When.
        doses: Doses to be given to people on the list; None: those in open vials that nobody
            who is booked or on the way needs.
    """
    with site.ledger.view() as newest:
        view = until(newest, now, _FOLDS)
        people = list(view.all(PERSON))
        listed = standby_list(site, view, now)
        rules = in_force(site, view, now)
        open_vials = [
            (each.reckoning.use_by, each.vial.left)
            for each in all_stood(view, rules, now)
            if each.reckoning.state is State.OPEN and each.reckoning.usable
        ]
    in_hand = sum(left for _, left in open_vials)
    expected = booked_today(site, people, now) + len(listed.on_the_way)
    spare = max(0, in_hand - expected)
    wanted = spare if doses is None else doses
    if wanted < 0:
        raise RecordError(f"{wanted} doses", advice="0 or more")
    use_by = min((at for at, left in open_vials if at is not None and left), default=None)
    close = close_of(site, people, now)
    limits = [use_by, close if close is not None and now < close else None]
    ends = min((at for at in limits if at is not None), default=None)
    near = listed.waiting if ends is None else listed.can_be_here(ends)
    places = {each.person: number for number, each in enumerate(listed.waiting, 1)}
    return Next(
        doses=wanted,
        spare=spare,
        use_by=use_by,
        close=close,
        calls=tuple(
            ToCall(places[each.person], each, site.people.get(each.person))
            for each in near[:wanted]
        ),
        on_list=len(listed.waiting),
        too_far=len(listed.waiting) - len(near),
        on_the_way=len(listed.on_the_way),
    )


def standby_list(site: Site, view: View, now: Instant) -> List:
    """Return the standby list at a moment."""
    had = frozenset(person for person, state in view.all(PERSON) if state.doses)
    return list_at(view.all(STANDBY), had, now, site.zone)


def close_of(
    site: Site, people: Iterable[tuple[str, PersonState]], now: Instant
) -> Instant | None:
    """Return when the last place of the day ends; None when nobody is booked that day."""
    today = local_date(now, site.zone)
    slots = [from_ms(b.slot_ms) for _, state in people for b in state.bookings]
    of_day = [slot for slot in slots if local_date(slot, site.zone) == today]
    return Instant(max(of_day) + LAST_PLACE) if of_day else None


def booked_today(site: Site, people: list[tuple[str, PersonState]], now: Instant) -> int:
    """Return the bookings of today that may still come: without a dose, and not too late."""
    today = local_date(now, site.zone)
    return sum(
        booking.slot_ms > to_ms(Instant(now - LATE))
        and local_date(from_ms(booking.slot_ms), site.zone) == today
        for _, state in people
        for booking in state.bookings
        if not had_dose_on(state, today, site.zone)
    )
