"""What one change does to a day of the record, also were its turns shorter or longer."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from thawline.app.replays import Replay
from thawline.plan.replay import ReplayDay, Replays
from thawline.plan.replay_change import (
    Difference,
    differences,
    wait_of_half,
    with_draws_of,
    with_turns_of,
    worst_half,
)

Play = Callable[[Sequence[ReplayDay]], Sequence[Replays]]
"""Plays the same simulated days of each of several days."""

_GRID, _SLOWEST = 5, 600  # seconds a dose: how finely and how far is looked; our own judgement
_MATTERS_S = 1.0  # of waiting, on average


@dataclass(frozen=True, slots=True)
class Changed:
    """
    A day with one change, played.

    Args:
        replay: The day.
        says: The change, in words.
        found: Each figure's difference.
        half: Number of the half hour that waits longest as it was; `worst`: its mean wait.
        ends: The same two mean waits, were the turns as short or as long as their interval
            allows, by the seconds of a turn, not at 0 s; empty: the interval is not known.
        before: The played days as it was.
    """

    replay: Replay
    says: str
    found: Mapping[str, Difference]
    half: int
    worst: Difference
    ends: Mapping[float, tuple[Difference, Difference]]
    before: Replays
    tables_matter: "TablesMatter | None" = None

    @property
    def days(self) -> int:
        """Return how many days were played."""
        return self.before.days


@dataclass(frozen=True, slots=True)
class TablesMatter:
    """
    From how long a dose is in drawing more draw tables save a second a person, or cost one.

    `drawing_s`: the mean that the example has. `from_s`: None: not even at ten minutes a dose.
    """

    drawing_s: float
    from_s: int | None


def compared(
    replay: Replay, changed: ReplayDay, says: str, play: Play, play_few: Play
) -> Changed:
    """
    Return what a change does, also at both ends of what is known of the turns.

    Where the draw tables are changed, also from how long a dose in drawing that matters: nobody
    stamps how long it takes. That is looked for on fewer days.
    """
    mean = None if replay.times is None else replay.times.mean_s
    ends = () if mean is None else [end_s for end_s in (mean.low, mean.high) if end_s > 0]
    pairs = [(replay.played, changed)]
    pairs += [(with_turns_of(replay.played, s), with_turns_of(changed, s)) for s in ends]
    days = play([day for pair in pairs for day in pair])
    before, after = days[:2]
    half, worst = worst_half(before, after)
    beside = {
        turn_s: (differences(*pair)["mean_wait_s"], wait_of_half(half, *pair))
        for turn_s, pair in zip(ends, zip(days[2::2], days[3::2], strict=True), strict=True)
    }
    found = differences(before, after)
    matter = None
    if changed.tables != replay.played.tables:
        matter = _tables_matter(replay.played, changed, play_few)
    return Changed(replay, says, found, half, worst, beside, before, matter)


def _tables_matter(day: ReplayDay, changed: ReplayDay, play: Play) -> TablesMatter:
    """Return from where on the tables matter, to five seconds, by halving."""
    low, high = 0, _SLOWEST // _GRID + 1
    while high - low > 1:
        middle = (low + high) // 2
        mean_s = float(middle * _GRID)
        pair = play([with_draws_of(day, mean_s), with_draws_of(changed, mean_s)])
        if abs(differences(*pair)["mean_wait_s"].by.value) >= _MATTERS_S:
            high = middle
        else:
            low = middle
    return TablesMatter(
        day.drawing.moments()[0], None if high * _GRID > _SLOWEST else high * _GRID
    )
