"""
What can happen to the places of many people at once, in the past tense; codes and times only.

One act is one event, however many people it moves, so that it is undone as one. Each list has
one value for each person, and the people stand in the order of their codes.
"""

from thawline.ledger.events import Event


class SecondDosesAssigned(Event, frozen=True, kw_only=True):
    """People without a place for their second dose were given one."""

    people: tuple[str, ...]
    slots_ms: tuple[int, ...]


class SecondDosesMoved(Event, frozen=True, kw_only=True):
    """Places for second doses on a day that cannot be kept were put on other days."""

    people: tuple[str, ...]
    left_ms: tuple[int, ...]  # the place that each had
    slots_ms: tuple[int, ...]
