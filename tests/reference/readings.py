"""
Every exact story that a story with intervals can stand for, one at a time.

The page promises that nothing is called usable when any reading of the facts says it is not.
A reading puts each fact at one instant of its interval; equal instants keep the order in
which they were written down.
"""

from collections.abc import Iterator
from itertools import islice, product
from typing import Any

from tests.reference.dice import Dice
from tests.reference.facts import interval
from tests.reference.wall_clock import moment

_MS = 1_000


def exact_readings(story: dict[str, Any], dice: Dice, most: int) -> Iterator[dict[str, Any]]:
    """Yield so many readings: each fact at its earliest or latest, then at random."""
    spans = [interval(event["at"]) for event in story["events"]]
    corners = product(*(sorted(set(span)) for span in spans))
    choices = list(islice(corners, most))
    others = most - len(choices)
    choices += [tuple(_within(dice, span) for span in spans) for _ in range(others)]
    for instants in choices:
        yield _read_as(story, instants)


def is_exact(story: dict[str, Any]) -> bool:
    """Say whether there is only one reading."""
    return all(len(set(interval(event["at"]))) == 1 for event in story["events"])


def _within(dice: Dice, span: tuple[int, int]) -> int:
    lo, hi = span
    return lo + dice.below((hi - lo) // _MS + 1) * _MS


def _read_as(story: dict[str, Any], instants: tuple[int, ...]) -> dict[str, Any]:
    events = [
        event | {"at": moment(instant).isoformat()}
        for event, instant in zip(story["events"], instants, strict=True)
    ]
    return story | {"events": events}
