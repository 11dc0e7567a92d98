"""
A vial's life: the states it was in, one after another, and what became of its doses.

The state is asked of the rules at each moment at which it can have changed: a fact, or the end
of a length of time that the protocol gives. Between two such moments nothing changes.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from thawline.app.in_force import InForce
from thawline.app.standings import Stood, story_told
from thawline.base.durations import Allowance
from thawline.base.instants import Instant, from_ms, midnight_after
from thawline.ledger.entries import Entry, View
from thawline.rules.protocol import Protocol
from thawline.vial.facts import SyringeState
from thawline.vial.folds import VIAL
from thawline.vial.reckon import State
from thawline.vial.standing import standing
from thawline.vial.story import Story, What
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Stage:
    """A state and since when; `until` None: it goes on."""

    state: State
    since: Instant
    until: Instant | None


@dataclass(frozen=True, slots=True)
class Life:
    """
    Everything about one vial.

    Args:
        stages: Its states in turn; a carton's life before it got a code is not in it.
        draws: When each dose was drawn, oldest first.
        syringes: Drawn from it, by their codes.
        entries: That touched it, as written, oldest first.
    """

    stages: tuple[Stage, ...]
    draws: tuple[Instant, ...]
    syringes: tuple[tuple[str, SyringeState], ...]
    entries: tuple[Entry, ...]


def life(view: View, rules: InForce, each: Stood, at: Instant) -> Life:
    """Return a vial's life until the moment."""
    story = story_told(view, each)
    return Life(
        stages=tuple(_stages(story, rules, at)),
        draws=tuple(
            from_ms(row.lo_ms)
            for row in each.vial.rows
            if row.what is What.DRAW
            for _ in range(row.doses)
        ),
        syringes=tuple(
            (code, syringe) for code, syringe in view.all(SYRINGE) if syringe.vial == each.code
        ),
        entries=tuple(view.history(VIAL, each.code)),
    )


def _stages(story: Story, rules: InForce, at: Instant) -> Iterator[Stage]:
    seen: list[tuple[State, Instant]] = []
    for moment in sorted({each for each in _moments(story, rules) if each <= at}):
        state = standing(story, rules.versions, moment).state
        if not seen or seen[-1][0] is not state:
            seen.append((state, moment))
    ends = [since for _, since in seen[1:]]
    for (state, since), until in zip(seen, [*ends, None], strict=True):
        yield Stage(state, since, until)


def _moments(story: Story, rules: InForce) -> Iterator[Instant]:
    """Yield every moment at which the state can have changed."""
    for fact in story.facts:
        yield fact.when.lo
        yield fact.when.hi
        for version in rules.versions:
            for takes in _takes(version):
                yield takes.end(fact.when.hi, story.zone)
    if story.last_day is not None:
        yield midnight_after(story.last_day, story.zone)


def _takes(protocol: Protocol) -> tuple[Allowance, ...]:
    """Return the lengths of time after which a thawing or warming vial goes on by itself."""
    cold, room = protocol.thaw.refrigerator, protocol.thaw.room
    return (cold.takes, cold.then_room, room.takes)
