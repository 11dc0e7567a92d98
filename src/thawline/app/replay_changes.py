"""What one change does to a day of the record, also were its turns shorter or longer."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from thawline.app.replays import Replay
from thawline.plan.replay import ReplayDay, Replays
from thawline.plan.replay_change import (
    Difference,
    differences,
    wait_of_half,
    with_turns_of,
    worst_half,
)

Play = Callable[[Sequence[ReplayDay]], Sequence[Replays]]
"""Plays the same simulated days of each of several days."""


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
            allows, by the seconds of a turn; empty: the interval is not known.
        days: How many were played.
    """

    replay: Replay
    says: str
    found: Mapping[str, Difference]
    half: int
    worst: Difference
    ends: Mapping[float, tuple[Difference, Difference]]
    days: int


def compared(replay: Replay, changed: ReplayDay, says: str, play: Play) -> Changed:
    """Return what a change does, also at both ends of what is known of the turns."""
    mean = None if replay.times is None else replay.times.mean_s
    ends = () if mean is None else (mean.low, mean.high)
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
    return Changed(replay, says, found, half, worst, beside, before.days)
