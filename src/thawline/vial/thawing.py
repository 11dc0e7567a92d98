"""
When a vial is thawed and may be opened: always by the later reading of the times.

A refrigerator thaw needs one unbroken stay; taken out before it is complete, the vial needs a
full room thaw from then. A thawed vial stands on the table a while before it is opened.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant
from thawline.rules.protocol import Thaw
from thawline.vial.order import Numbered, certainly_after, in_order, numbered
from thawline.vial.story import Fact, What

_PLACING = (What.TO_FREEZER, What.TO_FRIDGE, What.TO_TABLE, What.ARRIVE)


@dataclass(frozen=True, slots=True)
class Progress:
    """
    How far a vial has come: when it is thawed and may be opened.

    `thawed_at` is None in the freezer, and where no stay has certainly thawed it. `ready_at`
    is None as well where the order of its moves is not known; then `certain` is False.
    """

    thawed_at: Instant | None = None
    ready_at: Instant | None = None
    on_table: bool = False
    certain: bool = True


def progress(
    facts: Sequence[Fact], thaw: Thaw, at: Instant, opened: Numbered | None = None
) -> Progress:
    """
    Return how far the thaw has come by the moves among these facts.

    Args:
        facts: As written down.
        thaw: How long it takes.
        at: The instant that is asked about.
        opened: The first puncture, None while it is closed; later moves are left out then.
    """
    moves = numbered(facts, *_PLACING)
    if opened is not None:
        moves = [move for move in moves if not certainly_after(move, opened)]
    if not moves or _in_freezer(in_order(moves)[-1][1]):
        return Progress()
    until = None if opened is None else opened[1].when.lo
    thawed = {move: _thawed(move, moves, thaw, until) for move in moves}
    last = next((move for move in moves if _is_last(move, moves)), None)
    return Progress(
        thawed_at=min((done for done in thawed.values() if done), default=None),
        ready_at=None if last is None else _ready(last, thawed, thaw, at),
        on_table=_on_table(in_order(moves)[-1][1]),
        certain=last is not None,
    )


def _is_last(move: Numbered, moves: Sequence[Numbered]) -> bool:
    return all(certainly_after(move, other) for other in moves if other is not move)


def _thawed(
    move: Numbered, moves: Sequence[Numbered], thaw: Thaw, until: Instant | None
) -> Instant | None:
    """Return when the stay that begins with the move thawed the vial; None if it did not."""
    if _in_freezer(move[1]):
        return None
    others = (other for other in moves if other is not move)
    ends = [other[1].when.lo for other in others if not certainly_after(move, other)]
    done = _done(move[1], thaw)
    lasts = all(done <= end for end in ends) or _came_thawed(move[1])
    return done if lasts and (until is None or done <= until) else None


def _ready(
    last: Numbered, thawed: Mapping[Numbered, Instant | None], thaw: Thaw, at: Instant
) -> Instant:
    """Return when the vial may be opened, as its last move leaves it."""
    before = [done for move, done in thawed.items() if done and move is not last]
    if not _on_table(last[1]):
        stood_from = max(min([*before, _done(last[1], thaw)]), at)
    elif before:
        stood_from = last[1].when.hi
    else:
        return _done(last[1], thaw)
    return Instant(stood_from + thaw.refrigerator.then_room.elapsed)


def _done(move: Fact, thaw: Thaw) -> Instant:
    """Return when a vial put there is thawed, if it stays."""
    if _came_thawed(move):
        return move.when.hi
    takes = thaw.room.takes if _on_table(move) else thaw.refrigerator.takes
    return Instant(move.when.hi + takes.elapsed)


def _on_table(move: Fact) -> bool:
    return move.what is What.TO_TABLE


def _came_thawed(move: Fact) -> bool:
    return move.history is not None and move.history.thawed_at is not None


def _in_freezer(move: Fact) -> bool:
    return move.what is What.TO_FREEZER or (move.what is What.ARRIVE and not move.history)
