"""
Second doses that move between sites, recorded at both: taken over there, passed on here.

The site that takes somebody over records it first. Cut off in between, the person has a place
and their own site does not know of it: the next plan leaves them out, and says so.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, time
from functools import cache
from itertools import permutations

from thawline.app.acts import Doing, Outcome, act, by_its_own_id, part_of
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.ports import Site
from thawline.app.second_codes import CodeThere, codes_there, kept_there, refuse_taken
from thawline.app.second_places import free_places
from thawline.base.errors import RecordError, RefusedError, ThawlineError
from thawline.base.findings import Finding
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
from thawline.person.away import AWAY, AwayState, place_elsewhere
from thawline.person.fold import PERSON, PersonState
from thawline.plan.second_between import GivenAt
from thawline.rebook.due import booking_findings
from thawline.rebook.series import DoseDay, dose_days, on_day

_FIRST = 1
_ANEW = "ask again: thawline second between"


@dataclass(frozen=True, slots=True)
class Going:
    """One person who moves: their code at home and there, first dose, day, time of day."""

    code: CodeThere
    first_on: date
    slot: Instant

    @property
    def person(self) -> str:
        """Their code at home."""
        return self.code.person

    @property
    def there(self) -> str:
        """Their code at the other site."""
        return self.code.there


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
        RefusedError: Too early by the other site's own rule, or both doses are recorded there.
    """
    dry_run = all(each.dry_run for each in doing.values())
    if not dry_run and (begun := finished_moves(sites, doing)):
        return begun
    pairs = sorted({(each.home, each.site) for each in given if each.home != each.site})
    going = [[e for e in given if (e.home, e.site) == pair] for pair in pairs]
    looked = {name: replace(each, dry_run=True) for name, each in doing.items()}
    would = [_recorded(sites, looked, e, places[e[0].site], otherwise) for e in going]
    if dry_run:
        return tuple(would)
    moves: list[Move] = []
    for each in going:
        with by_its_own_id(doing[each[0].home]), _told_what_was_moved(moves):
            moves.append(_recorded(sites, doing, each, places[each[0].site], otherwise))
    return tuple(moves)


@contextmanager
def _told_what_was_moved(moves: Sequence[Move]) -> Iterator[None]:
    """Let an error say that the moves before it are recorded."""
    try:
        yield
    except ThawlineError as error:
        if moves:
            error.advice = f"{len(moves)} moves before it were recorded; plan the others anew"
        raise


def finished_moves(sites: Mapping[str, Site], doing: Mapping[str, Doing]) -> tuple[Move, ...]:
    """
    Return the moves that were begun under the same id; one that was cut off is finished.

    Nobody is planned anew and nothing is recorded twice. Empty where nothing was begun.

    Raises:
        RecordError: The move was undone since.
        ReusedIdError: It was recorded with other words, or by somebody else.
    """
    found = []
    for home, site in permutations(sorted(sites), 2):
        with by_its_own_id(doing[home]):
            own, there = _acts(sites, doing, home, site)
            found.append(_finished(sites[home], sites[site], own, there))
    return tuple(filter(None, found))


def _finished(home: Site, site: Site, own: Doing, there: Doing) -> Move | None:
    with site.ledger.view() as view:
        entry = view.entry(there.id)
        if entry is None:
            return None
        event = entry.event
        assert isinstance(event, SecondDosesTakenOver)  # noqa: S101  the id is of nothing else
        if not _stands(view, event):
            raise RecordError(
                f"the move of that id was undone at {site.name}",
                advice="leave --id out to move people anew",
            )
    people = tuple(map(_gone, event.people, event.were, event.slots_ms, event.first_on))
    took = _take_over(site, there, home.name, people, {})
    return Move(home.name, site.name, people, _pass_on(home, own, site.name, people), took)


def _stands(view: View, event: SecondDosesTakenOver) -> bool:
    """Say whether everybody of a move still comes from there for that place."""
    states = [view.one(AWAY, person) or AwayState() for person in event.people]
    came = [{(e.site, e.code, e.slot_ms) for e in state.came_from} for state in states]
    wanted = zip(event.were, event.slots_ms, strict=True)
    return all(
        (event.from_site, was, slot) in found
        for found, (was, slot) in zip(came, wanted, strict=True)
    )


def _gone(there: str, was: str, slot_ms: int, first_on: str) -> Going:
    code = CodeThere(was, there, None, is_known=True)
    return Going(code, date.fromisoformat(first_on), from_ms(slot_ms))


def _recorded(
    sites: Mapping[str, Site],
    doing: Mapping[str, Doing],
    going: Sequence[GivenAt],
    places: Mapping[date, int],
    otherwise: time,
) -> Move:
    """Record one move at both sites; nothing is kept there of a move that is refused."""
    home, site = sites[going[0].home], sites[going[0].site]
    people = _going(home, site, going, otherwise)
    own, there = _acts(sites, doing, home.name, site.name)
    _pass_on(home, replace(own, dry_run=True), site.name, people)
    if not there.dry_run:
        _take_over(site, replace(there, dry_run=True), home.name, people, places)
        people = _named(site, people)
    took = _take_over(site, there, home.name, people, places)
    return Move(home.name, site.name, people, _pass_on(home, own, site.name, people), took)


def _acts(
    sites: Mapping[str, Site], doing: Mapping[str, Doing], home: str, site: str
) -> tuple[Doing, Doing]:
    """Return the act at home and the one at the other site: parts of the one asked for."""
    there = replace(doing[site], id=doing[home].id)
    return (
        part_of(sites[home], doing[home], f"{home}|{site}|home"),
        part_of(sites[site], there, f"{home}|{site}|there"),
    )


def _going(
    home: Site, site: Site, given: Sequence[GivenAt], otherwise: time
) -> tuple[Going, ...]:
    order = sorted(given, key=lambda each: each.given.asked.person)
    codes = codes_there(home, site, [each.given.asked.person for each in order])
    with home.ledger.view() as view:
        states = [view.one(PERSON, each.person) or PersonState() for each in codes]
    return tuple(
        Going(
            code,
            _first_on(code.person, state),
            local_instant(each.given.day, _time_of_day(state, home, otherwise), site.zone),
        )
        for each, code, state in zip(order, codes, states, strict=True)
    )


def _first_on(person: str, state: PersonState) -> date:
    doses = dose_days(state)
    if not doses:
        raise RecordError(
            f"{person} has no first dose on record by now",
            advice=_ANEW,
        )
    return doses[-1].latest


def _named(site: Site, people: Sequence[Going]) -> tuple[Going, ...]:
    """Keep the names of who is new there; return everybody by the code they got."""
    kept = kept_there(site, [each.code for each in people])
    return tuple(
        replace(each, code=replace(each.code, there=kept[each.person])) for each in people
    )


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
        refuse_taken(site, view, [each.code for each in order])
        _refuse_placed(site, view, doing.at, order)
        if found := _against(site, view, order):
            raise RefusedError([*found.values()], advice=_ANEW)
        _refuse_full(site, view, order, places)
        return Decision(event, (), in_force(site, view, doing.at).ref)

    command: dict[str, Plain] = {
        "command": "second between",
        "from": home,
        "people": list(event.were),
        "slots_ms": list(event.slots_ms),
    }
    return act(site, doing, command, decide)


def not_taken(home: Site, site: Site, given: Sequence[GivenAt]) -> dict[str, Finding]:
    """Return by their code at home whom the other site would not take over, and why."""
    with site.ledger.view() as view:
        return _against(site, view, _going(home, site, given, time()))


def _against(site: Site, view: View, people: Sequence[Going]) -> dict[str, Finding]:
    """Return by code at home who may not come that day by this site's own rule and record."""
    rule_on = cache(rules_by_time(site, view))
    found = {}
    for each in people:
        had = _doses_there(view.one(PERSON, each.there) or PersonState(), each.first_on)
        if early := booking_findings(had, local_date(each.slot, site.zone), rule_on):
            says = f"{each.there} at {site.name}: {early[0].says}"
            found[each.person] = replace(early[0], says=says)
    return found


def _doses_there(state: PersonState, first_on: date) -> tuple[DoseDay, ...]:
    """Return the doses known there and the first one from home, which may be one of them."""
    had = dose_days(state)
    if any(dose.earliest <= first_on <= dose.latest for dose in had):
        return had
    return (*had, on_day(first_on))


def _refuse_placed(site: Site, view: View, now: Instant, people: Sequence[Going]) -> None:
    """Raise for somebody who has a place for the second dose there, or had the dose there."""
    for each in people:
        state = view.one(PERSON, each.there) or PersonState()
        second = [place for place in state.bookings if place.dose_number > _FIRST]
        if any(from_ms(place.slot_ms) >= now for place in second):
            raise RecordError(
                f"{each.there} has a place for the second dose at {site.name} already",
                advice=f"thawline dose find {each.there} --site {site.name}",
            )
        if any(dose.dose_number > _FIRST for dose in state.doses):
            raise RecordError(
                f"{each.there} had a second dose at {site.name}",
                advice=f"thawline dose told {each.person}, at {each.person}'s own site",
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
                advice=_ANEW,
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
    if to_come or place_elsewhere(view.one(AWAY, going.person), today):
        raise RecordError(
            f"{going.person} has a place by now: somebody else was faster",
            advice=_ANEW,
        )
