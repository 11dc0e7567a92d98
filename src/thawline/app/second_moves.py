"""
Second doses that move between sites, recorded at both: taken over there, passed on here.

The site that takes somebody over records it first. Cut off in between, the person has a place
and their own site does not know of it: the next plan leaves them out, and says so.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, time
from functools import cache
from uuid import NAMESPACE_URL, UUID, uuid5

from thawline.app.acts import Doing, Outcome, act
from thawline.app.booking_rows import MINTED, minted_number
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.ports import Name, Site
from thawline.app.second_places import free_places
from thawline.base.errors import RecordError
from thawline.base.instants import (
    Instant,
    from_ms,
    local_date,
    local_instant,
    local_time,
    to_ms,
)
from thawline.ledger.entries import Decision, Plain, View
from thawline.ledger.person_events import SecondDosesPassedOn, SecondDosesTakenOver
from thawline.person.away import AWAY, day_away
from thawline.person.desk import DESK
from thawline.person.fold import PERSON, PersonState
from thawline.person.likeness import name_key
from thawline.person.standby import STANDBY
from thawline.plan.second_between import GivenAt
from thawline.rebook.due import booking_findings
from thawline.rebook.series import dose_days

_OURS = uuid5(NAMESPACE_URL, "thawline:second between")
_FIRST = 1
_CODED = (PERSON, STANDBY, DESK)
"""Where a code may stand for somebody, whether or not a name is kept under it."""


@dataclass(frozen=True, slots=True)
class Going:
    """
    One person who moves: their code at home and there, first dose, day, time of day.

    `is_known`: the other site knows them by that code; nothing new is kept of them there.
    """

    person: str
    there: str
    is_known: bool
    first_on: date
    slot: Instant
    name: Name | None


@dataclass(frozen=True, slots=True)
class Move:
    """The people who go from one site to another, and what was recorded at each."""

    home: str
    site: str
    people: tuple[Going, ...]
    passed_on: Outcome
    taken_over: Outcome


def record_moves(
    sites: Mapping[str, Site],
    doing: Mapping[str, Doing],
    given: Sequence[GivenAt],
    places: Mapping[str, Mapping[date, int]],
    otherwise: time,
) -> tuple[Move, ...]:
    """
    Record at both sites who moves by a plan; who stays is assigned by their own site.

    Args:
        sites: By their names.
        doing: Who does it, at each site.
        given: The plan; those who stay are passed over.
        places: The places of each site by day, those booked among them.
        otherwise: The time of day for people of whose first dose no time is known.

    Raises:
        RecordError: The plan no longer fits; somebody else was faster.
    """
    pairs = sorted({(each.home, each.site) for each in given if each.home != each.site})
    moves = []
    for home, site in pairs:
        going = [each for each in given if (each.home, each.site) == (home, site)]
        people = _going(sites[home], sites[site], going, otherwise)
        key = "|".join([home, site, *(f"{e.person}@{to_ms(e.slot)}" for e in people)])
        passed, taken = uuid5(_OURS, f"{key}|home"), uuid5(_OURS, f"{key}|there")
        own = _as_act(doing[home], passed)
        _pass_on(sites[home], replace(own, dry_run=True), site, people)
        there = _as_act(doing[site], taken)
        if not there.dry_run:
            # Asked first: no name is kept for a move that is refused.
            _take_over(sites[site], replace(there, dry_run=True), home, people, places[site])
            people = _kept(sites[site], people)
        took = _take_over(sites[site], there, home, people, places[site])
        moves.append(Move(home, site, people, _pass_on(sites[home], own, site, people), took))
    return tuple(moves)


def _as_act(doing: Doing, entry: UUID) -> Doing:
    return replace(doing, id=entry)


def _going(
    home: Site, site: Site, given: Sequence[GivenAt], otherwise: time
) -> tuple[Going, ...]:
    order = sorted(given, key=lambda each: each.given.asked.person)
    people = [each.given.asked.person for each in order]
    codes = _codes_there(home, site, people)
    with home.ledger.view() as view:
        states = {person: view.one(PERSON, person) or PersonState() for person in people}
    return tuple(
        Going(
            person,
            codes[person],
            site.people.get(codes[person]) is not None,
            dose_days(states[person])[-1].latest,
            local_instant(
                each.given.day, _time_of_day(states[person], home, otherwise), site.zone
            ),
            home.people.get(person),
        )
        for each, person in zip(order, people, strict=True)
    )


def _codes_there(home: Site, site: Site, people: Iterable[str]) -> dict[str, str]:
    """Return codes at the other site: the same where it stands for nobody else, else new."""
    with site.ledger.view() as there:
        known = {person for fold in _CODED for person, _ in there.all(fold)}
    last = max(map(minted_number, known), default=0)
    codes: dict[str, str] = {}
    for person in people:
        if _is_free(home, site, person, known):
            codes[person] = person
            last = max(last, minted_number(person))
    for person in people:
        if person not in codes:
            codes[person] = _unkept_after(site, last)
            last = minted_number(codes[person])
    return codes


def _unkept_after(site: Site, last: int) -> str:
    """Return the next code that nobody is kept under; the record may not know of a name yet."""
    number = last + 1
    while site.people.get(f"{MINTED}{number:06d}") is not None:
        number += 1
    return f"{MINTED}{number:06d}"


def _is_free(home: Site, site: Site, person: str, known: Set[str]) -> bool:
    """Say whether a code stands for nobody else at the other site: nobody, or the same one."""
    kept, name = site.people.get(person), home.people.get(person)
    if kept is None:
        return person not in known
    if name is None or name.born is None or kept.born != name.born:
        return False
    return name_key(kept.called) == name_key(name.called)


def _time_of_day(state: PersonState, home: Site, otherwise: time) -> time:
    first = [each for each in state.bookings if each.dose_number == _FIRST]
    return local_time(from_ms(first[-1].slot_ms), home.zone) if first else otherwise


def _take_over(
    site: Site,
    doing: Doing,
    home: str,
    people: Sequence[Going],
    places: Mapping[date, int],
) -> Outcome:
    order = sorted(people, key=lambda each: each.there)
    event = SecondDosesTakenOver(
        people=tuple(each.there for each in order),
        were=tuple(each.person for each in order),
        slots_ms=tuple(to_ms(each.slot) for each in order),
        first_on=tuple(each.first_on.isoformat() for each in order),
        from_site=home,
    )

    def decide(view: View) -> Decision:
        _refuse_taken(site, view, order)
        _refuse_full(site, view, order, places)
        return Decision(event, (), in_force(site, view, doing.at).ref)

    command: dict[str, Plain] = {
        "command": "second between",
        "from": home,
        "people": list(event.were),
        "slots_ms": list(event.slots_ms),
    }
    return act(site, doing, command, decide)


def _kept(site: Site, people: Sequence[Going]) -> tuple[Going, ...]:
    """
    Keep the names of those who are new there, and return everybody by the code they got.

    A code never comes to stand for two: where another desk took a new one just now, the next
    is taken; where it took the code that somebody brings along, all is planned anew.
    """
    given = list(people)
    new = {n: each.name for n, each in enumerate(people) if not each.is_known and each.name}
    for nth, name in new.items():
        there = given[nth].there
        while site.people.add_all({there: name}):
            if there == given[nth].person:
                raise _overtaken(site, there)
            taken = max(minted_number(each.there) for each in given)
            there = _unkept_after(site, taken)
            given[nth] = replace(given[nth], there=there)
    return tuple(given)


def _refuse_taken(site: Site, view: View, people: Sequence[Going]) -> None:
    """Raise for a code that came to stand for somebody since it was looked up."""
    for each in people:
        if not each.is_known and view.one(PERSON, each.there) is not None:
            raise _overtaken(site, each.there)


def _overtaken(site: Site, code: str) -> RecordError:
    return RecordError(
        f"{code} stands for somebody else at {site.name} since just now",
        advice="ask again: thawline second between",
    )


def _refuse_full(
    site: Site, view: View, people: Sequence[Going], places: Mapping[date, int]
) -> None:
    states = dict(view.all(PERSON))
    free = free_places(states.values(), places)
    for day in sorted({local_date(each.slot, site.zone) for each in people}):
        wanted = sum(local_date(each.slot, site.zone) == day for each in people)
        if wanted > free.get(day, 0):
            raise RecordError(
                f"{site.name} has {free.get(day, 0)} free places on {day.isoformat()}, "
                f"and {wanted} would come",
                advice="ask again: thawline second between",
            )


def _pass_on(home: Site, doing: Doing, site: str, people: Sequence[Going]) -> Outcome:
    order = sorted(people, key=lambda each: each.person)
    event = SecondDosesPassedOn(
        people=tuple(each.person for each in order),
        slots_ms=tuple(to_ms(each.slot) for each in order),
        to_site=site,
    )

    def decide(view: View) -> Decision:
        for each in order:
            _refuse_one(home, view, doing.at, each)
        return Decision(event, (), in_force(home, view, doing.at).ref)

    command: dict[str, Plain] = {
        "command": "second between",
        "to": site,
        "people": list(event.people),
        "slots_ms": list(event.slots_ms),
    }
    return act(home, doing, command, decide)


def _refuse_one(home: Site, view: View, now: Instant, going: Going) -> None:
    """Raise for somebody who may not go that day: too early, or placed just now."""
    state = view.one(PERSON, going.person) or PersonState()
    today, day = local_date(now, home.zone), local_date(going.slot, home.zone)
    early = booking_findings(dose_days(state), day, cache(rules_by_time(home, view)))
    if early:
        raise RecordError(f"{going.person}: {early[0].says}")
    to_come = [each for each in state.bookings if from_ms(each.slot_ms) >= now]
    if to_come or away_until(view, going.person, today):
        raise RecordError(
            f"{going.person} has a place by now: somebody else was faster",
            advice="ask again: thawline second between",
        )


def away_until(view: View, person: str, today: date) -> bool:
    """Say whether a person has a place to come at another site."""
    state = view.one(AWAY, person)
    return state is not None and any(day_away(each) >= today for each in state.passed_on)
