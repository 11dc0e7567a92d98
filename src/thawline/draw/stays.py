"""
What happened to one vial: its states one after the other, each with its texture and times.

States are asked of the rules at the vial's facts and between them, to the second, so that a
thaw that was complete in the night shows at its minute.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from thawline.base.durations import spoken
from thawline.base.instants import Instant, local_date, local_time
from thawline.rules.protocol import Protocol
from thawline.vial.reckon import State
from thawline.vial.standing import standing
from thawline.vial.story import Story

TEXTURE = {
    State.FROZEN: ":",
    State.THAWING: ".",
    State.CHILLED: "/",
    State.WARMING: ">",
    State.READY: "+",
    State.OPEN: "=",
    State.HELD: "#",
    State.DISCARDED: "x",
}
_SECOND = timedelta(seconds=1)
_BAR = 40


@dataclass(frozen=True, slots=True)
class Stay:
    """A state that a vial was in, from one instant until another."""

    state: State
    starts: Instant
    ends: Instant


def stays_of(story: Story, versions: Sequence[Protocol], until: Instant) -> tuple[Stay, ...]:
    """Return the states of a vial from its first fact until an instant, in order."""
    marks = sorted({each.when.lo for each in story.facts if each.when.lo < until})
    changes: list[tuple[Instant, State]] = []

    def state(at: Instant) -> State:
        return standing(story, versions, at).state

    for start, end in pairwise([*marks, until]):
        changes.append((start, state(start)))
        changes += _changes_within(state, start, Instant(end - _SECOND))
    return tuple(_joined(changes, until))


def _changes_within(
    state: Callable[[Instant], State], start: Instant, end: Instant
) -> Iterator[tuple[Instant, State]]:
    """Yield each change of state after the start, when time alone makes it."""
    while start < end and state(start) is not state(end):
        before, after = start, end
        while after - before > _SECOND:
            middle = Instant(before + (after - before) // _SECOND // 2 * _SECOND)
            if state(middle) is state(start):
                before = middle
            else:
                after = middle
        yield after, state(after)
        start = after


def _joined(changes: Sequence[tuple[Instant, State]], until: Instant) -> Iterator[Stay]:
    """Yield the stays, with changes to the same state left out."""
    kept = [
        change
        for n, change in enumerate(changes)
        if not n or change[1] is not changes[n - 1][1]
    ]
    ends = [starts for starts, _ in kept[1:]] + [until]
    for (starts, state), end in zip(kept, ends, strict=True):
        yield Stay(state, starts, end)


def stay_lines(stays: Sequence[Stay], zone: ZoneInfo) -> tuple[str, ...]:
    """Return a line for each state: its texture by length, its times, how long it lasted."""
    longest = max((each.ends - each.starts for each in stays), default=_SECOND)
    return tuple(_line(each, longest, zone) for each in stays)


def _line(stay: Stay, longest: timedelta, zone: ZoneInfo) -> str:
    lasted = stay.ends - stay.starts
    bar = TEXTURE[stay.state] * max(1, round(_BAR * (lasted / longest)))
    times = f"{_when(stay.starts, zone)} to {_when(stay.ends, zone)}"
    return f"{stay.state:<9} {times:<26} {spoken(lasted):>12}  {bar}"


def _when(at: Instant, zone: ZoneInfo) -> str:
    return f"{local_date(at, zone).strftime('%a')} {local_time(at, zone).strftime('%H:%M')}"
