"""
The record of an excursion: everything that whoever decides will ask for, and what is missing.

Fields after the CDC's storage and handling toolkit, "Handling a Temperature Excursion in Your
Vaccine Storage Unit", and the temperature log forms (cold-chain notes, sections 1.3 and 8).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from thawline.app.excursions import Found, found_in
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import Entry, View
from thawline.ledger.events import VialReleased
from thawline.store.fold import UNIT, CallRow, HandRow, HoldRow, UnitState
from thawline.store.units import ROOM


@dataclass(frozen=True, slots=True)
class Released:
    """Who released what, when, and on whose answer; two people always."""

    at_ms: int
    by: str
    second: str
    why: str
    things: tuple[str, ...]
    called: str
    answer: str
    case: str


@dataclass(frozen=True, slots=True)
class Room:
    """The room's temperature as somebody read it, and at which table."""

    table: str
    read: HandRow


@dataclass(frozen=True, slots=True)
class ExcursionRecord:
    """An excursion with everything that is on record about it; `missing` names what is not."""

    found: Found
    holds: tuple[HoldRow, ...]
    calls: tuple[CallRow, ...]
    releases: tuple[Released, ...]
    room: Room | None
    missing: tuple[str, ...]


def excursion_record(
    site: Site, named: str, since: Instant | None, until: Instant | None, at: Instant
) -> ExcursionRecord:
    """
    Return the record of a unit's excursion, or of the one with that case number.

    Without a time it is that of the last hold for the unit, else all of the unit's readings.

    Raises:
        NotFoundError: There is neither a unit nor a case of that name.
    """
    with site.ledger.view() as view:
        unit = _unit_of(site, view, named)
        state = view.one(UNIT, unit) or UnitState()
        began, ended = _time_of(state, named, since, until)
        found = found_in(site, view, unit, began, ended or at, at)
        holds = tuple(row for row in state.holds if _meets(row, found))
        calls = tuple(row for row in state.calls if row.at_ms >= found.unit.asked.from_ms)
        releases = tuple(_releases(view, holds))
        room = _room(site, view, found)
    missing = tuple(_missing(found, holds, calls, releases, room))
    return ExcursionRecord(found, holds, calls, releases, room, missing)


def _unit_of(site: Site, view: View, named: str) -> str:
    """Return the unit of that name, or the one whose excursion has that case number."""
    if any(unit.name == named for unit in site.units):
        return named
    for name, state in view.all(UNIT):
        if any(call.case == named for call in state.calls):
            return name
        if any(each.case == named for each in _releases(view, state.holds)):
            return name
    raise NotFoundError(
        f"no storage unit and no case {named} here", advice="thawline site show"
    )


def _time_of(
    state: UnitState, named: str, since: Instant | None, until: Instant | None
) -> tuple[Instant | None, Instant | None]:
    """Return the time that was asked for, else that of the hold it is about."""
    if since is not None or until is not None:
        return since, until
    of_case = [call.seq for call in state.calls if call.case == named]
    before = [row for row in state.holds if not of_case or row.seq < max(of_case)]
    rows = [row for row in before or state.holds if row.from_ms is not None]
    if not rows or rows[-1].from_ms is None:
        return None, None
    end = rows[-1].until_ms
    return from_ms(rows[-1].from_ms), None if end is None else from_ms(end)


def _meets(row: HoldRow, found: Found) -> bool:
    """Say whether a hold is for any of the time that was asked about."""
    if row.from_ms is None:
        return False
    ends_before = row.until_ms is not None and row.until_ms < found.unit.asked.from_ms
    return not ends_before and row.from_ms <= found.unit.asked.to_ms


def _releases(view: View, holds: tuple[HoldRow, ...]) -> Iterator[Released]:
    """Yield the releases of what was held, after it was."""
    if not holds:
        return
    held = {code for row in holds for code in (*row.vials, *row.cartons, *row.syringes)}
    first = min(row.seq for row in holds)
    for entry in view.counting():
        event = entry.event
        if isinstance(event, VialReleased) and entry.seq > first:
            things = (*event.vials, *event.cartons, *event.syringes)
            if held & set(things):
                yield _released(entry, event, things)


def _released(entry: Entry, event: VialReleased, things: tuple[str, ...]) -> Released:
    return Released(
        at_ms=entry.lo_ms,
        by=entry.by,
        second=event.second,
        why=event.why,
        things=things,
        called=event.called,
        answer=event.answer,
        case=event.case,
    )


def _room(site: Site, view: View, found: Found) -> Room | None:
    """Return the reading at a table that was taken nearest to the excursion's first reading."""
    outs = found.unit.outs
    if not outs or found.unit.unit.band == ROOM:
        return None
    tables = [unit.name for unit in site.units if unit.band == ROOM]
    read = [
        Room(name, row) for name in tables for row in (view.one(UNIT, name) or UnitState()).hand
    ]
    began = outs[0].first_out_ms
    return min(read, key=lambda each: abs(each.read.lo_ms - began), default=None)


def _missing(
    found: Found,
    holds: tuple[HoldRow, ...],
    calls: tuple[CallRow, ...],
    releases: tuple[Released, ...],
    room: Room | None,
) -> Iterator[str]:
    if not holds:
        yield "what happened, and who holds it: nothing is held for it yet"
    if not any(out.record for out in found.unit.outs):
        yield "how long, from a logger: only what people read is on record"
    if room is None and found.unit.unit.band != ROOM:
        yield "the room's temperature"
    if not calls:
        yield "who was called, when, and what they said"
    elif not any(call.answer for call in calls):
        yield "the answer of whoever was called"
    if not any([*(call.case for call in calls), *(each.case for each in releases)]):
        yield "the case number"
