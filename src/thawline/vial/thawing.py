"""
When a vial is thawed and may be opened: always by the later reading of the times.

A refrigerator thaw needs one unbroken stay; taken out before it is complete, the vial needs a
full room thaw from then. A thawed vial stands on the table a while before it is opened.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant
from thawline.rules.protocol import Thaw
from thawline.vial.order import Numbered, certainly_after, in_order, numbered
from thawline.vial.story import Fact, What

_PLACING = (What.TO_FREEZER, What.TO_FRIDGE, What.TO_TABLE, What.ARRIVE)


@dataclass(frozen=True, slots=True)
class Progress:
    """
    How far a vial has come: when it is thawed and may be opened, as its last move leaves it.

    Both are None while it is in the freezer. `on_table` says where the last move put
    it; `certain` is False when the order of its last two moves is not known.
    """

    thawed_at: Instant | None = None
    ready_at: Instant | None = None
    on_table: bool = False
    certain: bool = True


def progress(facts: Sequence[Fact], thaw: Thaw, at: Instant) -> Progress:
    """Return how far the thaw has come by the moves among these facts, looked at `at`."""
    placed = in_order(numbered(facts, *_PLACING))
    moves = [each for each in placed if not _in_freezer(each[1])]
    if not moves or _in_freezer(placed[-1][1]):
        return Progress()
    runs = _runs(moves)
    thawed = _thawed_before(runs, thaw)
    last = runs[-1].last
    done = thawed or _done(last, thaw)
    on_table = last.what is What.TO_TABLE
    if on_table and not thawed:
        ready = done
    else:
        stood_from = last.when.hi if on_table else max(done, at)
        ready = Instant(stood_from + thaw.refrigerator.then_room.elapsed)
    certain = len(moves) == 1 or certainly_after(moves[-1], moves[-2])
    return Progress(done, ready, on_table, certain)


@dataclass(frozen=True, slots=True)
class _Run:
    """Moves to one place in a row: the stay before ends with `first`, this begins at `last`."""

    first: Fact
    last: Fact
    came_thawed: bool


def _runs(moves: Sequence[Numbered]) -> list[_Run]:
    runs: list[_Run] = []
    for _, move in moves:
        came_thawed = move.history is not None and move.history.thawed_at is not None
        if runs and _on_table(runs[-1].last) == _on_table(move):
            before = runs.pop()
            runs.append(_Run(before.first, move, before.came_thawed or came_thawed))
        else:
            runs.append(_Run(move, move, came_thawed))
    return runs


def _thawed_before(runs: Sequence[_Run], thaw: Thaw) -> Instant | None:
    """Return when the thaw was complete before the last of the runs began, if it was."""
    for run, following in zip(runs, [*runs[1:], None], strict=True):
        if run.came_thawed:
            return run.last.when.hi
        if following is not None and _done(run.last, thaw) <= following.first.when.lo:
            return _done(run.last, thaw)
    return None


def _done(move: Fact, thaw: Thaw) -> Instant:
    """Return when a vial put there frozen is thawed, if it stays."""
    takes = thaw.room.takes if _on_table(move) else thaw.refrigerator.takes
    return Instant(move.when.hi + takes.elapsed)


def _on_table(move: Fact) -> bool:
    return move.what is What.TO_TABLE


def _in_freezer(move: Fact) -> bool:
    return move.what is What.TO_FREEZER or (move.what is What.ARRIVE and not move.history)
