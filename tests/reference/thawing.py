"""When a vial is thawed and when it is ready, from its moves in order."""

from collections.abc import Sequence
from itertools import groupby
from typing import NamedTuple

from tests.reference.facts import Fact, Handling
from tests.reference.wall_clock import length

from thawline.rules.protocol import Protocol

_NEVER = 2**62


class Thaw(NamedTuple):
    """When the vial is thawed, when it is ready (None: never, as things stand), and where."""

    thawed: int | None
    ready: int | None
    where: str


def thaw_now(handling: Handling, protocol: Protocol) -> Thaw:
    """Return the thaw as it stands, or as it stood for the first open."""
    first = handling.first_open
    if first is not None:
        return thaw_of(handling.before_open, protocol, first.hi)
    thaw = thaw_of(handling.facts, protocol, handling.at)
    return thaw._replace(ready=None) if handling.order_unknown else thaw


def thaw_of(facts: Sequence[Fact], protocol: Protocol, at: int) -> Thaw:
    """Return thawed, ready and where, looking at the moves in order."""
    where = next((fact.place for fact in reversed(facts) if fact.place), "freezer")
    stays = runs(facts)
    thawed, thawed_in = _thawed(stays, protocol)
    if where == "freezer" or thawed is None:
        return Thaw(thawed, None, where)
    then_room = length(protocol.thaw.refrigerator.then_room.elapsed)
    if where == "fridge":
        return Thaw(thawed, max(thawed, at) + then_room, where)
    in_this_stay = thawed_in is stays[-1]
    return Thaw(thawed, thawed if in_this_stay else stays[-1][-1].hi + then_room, where)


def runs(facts: Sequence[Fact]) -> list[list[Fact]]:
    """Return the moves between fridge and table, those to the same place as one stay."""
    moves = [fact for fact in facts if fact.place in {"fridge", "table"}]
    return [list(run) for _, run in groupby(moves, key=lambda fact: fact.place)]


def _thawed(
    stays: Sequence[list[Fact]], protocol: Protocol
) -> tuple[int, list[Fact]] | tuple[None, None]:
    """
    Return when the vial is thawed, and the first stay that does it.

    A stay begins with the last of its moves and ends with the first of the next.
    """
    takes = {
        "fridge": length(protocol.thaw.refrigerator.takes.elapsed),
        "table": length(protocol.thaw.room.takes.elapsed),
    }
    moves_away = [next_stay[0].lo for next_stay in stays[1:]] + [_NEVER]
    for stay, moved_away in zip(stays, moves_away, strict=False):
        if any(fact.arrived_thawed for fact in stay):
            return stay[-1].hi, stay
        completes = stay[-1].hi + takes[stay[-1].place]
        if completes <= moved_away:
            return completes, stay
    return None, None


def opening_findings(handling: Handling, protocol: Protocol) -> set[str]:
    """Return what is wrong with the opening, or what keeps ready from being known."""
    first = handling.first_open
    if first is None:
        return {"order-not-known"} if handling.order_unknown else set()
    twice = [f for f in handling.facts if f.what == "open" and f != first]
    codes = {"opened-twice"} if twice else set()
    thaw = thaw_now(handling, protocol)
    if thaw.thawed is None or thaw.ready is None or first.lo < thaw.thawed:
        return codes | {"opened-while-thawing"}
    if first.lo < thaw.ready:
        return codes | {"opened-while-warming"}
    return codes
