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


@dataclass(frozen=True, slots=True)
class Progress:
    """
    How far a vial has come: when it is thawed and may be opened, as its last move leaves it.

    Both are None while it has not left the freezer. `on_table` says where the last move put
    it; `certain` is False when the order of its last two moves is not known.
    """

    thawed_at: Instant | None = None
    ready_at: Instant | None = None
    on_table: bool = False
    certain: bool = True


def progress(facts: Sequence[Fact], thaw: Thaw, at: Instant) -> Progress:
    """Return how far the thaw has come by the moves among these facts, looked at `at`."""
    moves = in_order(
        each
        for each in numbered(facts, What.TO_FRIDGE, What.TO_TABLE, What.ARRIVE)
        if each[1].what is not What.ARRIVE or each[1].history
    )
    if not moves:
        return Progress()
    runs = _last_of_each_run(moves)
    thawed = _thawed_before(runs, thaw)
    last = runs[-1]
    done = thawed or _done(last, thaw)
    on_table = last.what is What.TO_TABLE
    if on_table and not thawed:
        ready = done
    else:
        stood_from = last.when.hi if on_table else max(done, at)
        ready = Instant(stood_from + thaw.refrigerator.then_room.elapsed)
    certain = len(moves) == 1 or certainly_after(moves[-1], moves[-2])
    return Progress(done, ready, on_table, certain)


def _last_of_each_run(moves: Sequence[Numbered]) -> list[Fact]:
    """Return the moves with those of one kind in a row standing as the last of them."""
    runs: list[Fact] = []
    for _, move in moves:
        same = runs and (runs[-1].what is What.TO_TABLE) == (move.what is What.TO_TABLE)
        if same and not _came_thawed(runs[-1]):
            runs.pop()
        runs.append(move)
    return runs


def _thawed_before(runs: Sequence[Fact], thaw: Thaw) -> Instant | None:
    """Return when the thaw was complete before the last of the runs began, if it was."""
    for move, following in zip(runs, [*runs[1:], None], strict=True):
        if _came_thawed(move):
            return move.when.hi
        if following is not None and _done(move, thaw) <= following.when.lo:
            return _done(move, thaw)
    return None


def _done(move: Fact, thaw: Thaw) -> Instant:
    """Return when a vial put there frozen is thawed, if it stays."""
    takes = thaw.room.takes if move.what is What.TO_TABLE else thaw.refrigerator.takes
    return Instant(move.when.hi + takes.elapsed)


def _came_thawed(move: Fact) -> bool:
    return move.history is not None and move.history.thawed_at is not None
