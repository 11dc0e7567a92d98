"""When a vial is thawed and when it is ready, from moves whose order may not be certain."""

from collections.abc import Sequence
from typing import NamedTuple

from tests.reference.facts import Fact, Handling
from tests.reference.wall_clock import length

from thawline.rules.protocol import Protocol

_NEVER = 2**62


class Thaw(NamedTuple):
    """When the vial is thawed and ready (None: never, or not known, as things stand)."""

    thawed: int | None
    ready: int | None


class Stay(NamedTuple):
    """A stay that begins with a move, for as long as it certainly lasts."""

    move: Fact
    begins: int
    ends: int
    until: int | None  # the opening, where the stay does not go on


def thaw_now(handling: Handling, protocol: Protocol) -> Thaw:
    """Return the thaw as it stands, or as it stood for the first open."""
    first = handling.first_open
    if first is None:
        return _thaw(stays_of(handling.moves, _NEVER), protocol, handling.at)
    moves = [move for move in handling.moves if not move.certainly_after(first)]
    return _thaw(stays_of(moves, first.lo), protocol, first.hi)


def stays_of(moves: Sequence[Fact], until: int) -> list[Stay]:
    """
    Return each move's stay: to the smallest `lo` of the others not certainly before it.

    What comes after `until` (the opening) is not counted, except of the stay that goes on.
    """
    stays = []
    for move in moves:
        away = [o.lo for o in moves if o != move and not move.certainly_after(o)]
        ends = min([until, *away]) if away else _NEVER
        stays.append(Stay(move, move.hi, ends, until if away else None))
    return stays


def last_of(moves: Sequence[Fact]) -> Fact | None:
    """Return the move that all others are certainly before, where there is one."""
    for move in moves:
        if all(move.certainly_after(other) for other in moves if other != move):
            return move
    return None


def _thaw(stays: Sequence[Stay], protocol: Protocol, at: int) -> Thaw:
    by_stay = [(stay.move, _thawed_by(stay, protocol)) for stay in stays]
    thawed = min((done for _, done in by_stay if done is not None), default=None)
    last = last_of([stay.move for stay in stays])
    if stays and stays[-1].move.place == "freezer":
        return Thaw(None, None)
    if last is None or thawed is None:
        return Thaw(thawed, None)
    then_room = length(protocol.thaw.refrigerator.then_room.elapsed)
    if last.place == "fridge":
        return Thaw(thawed, max(thawed, at) + then_room)
    thawed_before = any(done is not None for move, done in by_stay if move != last)
    return Thaw(thawed, last.hi + then_room if thawed_before else thawed)


def _thawed_by(stay: Stay, protocol: Protocol) -> int | None:
    """Return when a stay has thawed the vial, if it certainly lasts that long."""
    if stay.move.arrived_thawed and (stay.until is None or stay.move.hi <= stay.until):
        return stay.move.hi
    if stay.move.place == "freezer":
        return None
    fridge, room = protocol.thaw.refrigerator.takes, protocol.thaw.room.takes
    takes = fridge if stay.move.place == "fridge" else room
    thawed = stay.begins + length(takes.elapsed)
    return thawed if thawed <= stay.ends else None


def opening_findings(handling: Handling, protocol: Protocol) -> set[str]:
    """Return what is wrong with the opening, or what keeps ready from being known."""
    first = handling.first_open
    if first is None:
        unclear = handling.where != "freezer" and last_of(handling.moves) is None
        return {"order-not-known"} if unclear else set()
    twice = [f for f in handling.facts if f.what == "open" and f != first]
    codes = {"opened-twice"} if twice else set()
    thaw = thaw_now(handling, protocol)
    if thaw.thawed is None or first.lo < thaw.thawed:
        return codes | {"opened-while-thawing"}
    if thaw.ready is None or first.lo < thaw.ready:
        return codes | {"opened-while-warming"}
    return codes
