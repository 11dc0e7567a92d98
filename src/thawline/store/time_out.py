"""
How long a record was out of its band, on each side, and what is not known of it.

Three values of the time out are told, and the decision rests on the conservative one: straight
lines between readings (interpolated), each reading kept until the next (hold), and every step
with an end outside (conservative). A gap ends an excursion and belongs to none of the three.
Beside them stand at least and at most, through the gaps and with the logger's accuracy.
docs/background/exposure.md has the promise, the steps and an example by hand.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from thawline.rules.cold import Side
from thawline.store.limits import Limits

MINUTE_MS = 60_000


class Verdict(StrEnum):
    """What a record says of its band, and no more than that."""

    IN_RANGE = "in-range"  # every reading in, no gap, none that the display leaves open
    EXCURSION = "excursion"  # at least one reading outside, whatever else
    NOT_KNOWN = "not-known"  # no reading outside, but not everything was seen


@dataclass(frozen=True, slots=True)
class Question:
    """
    What a record is asked: whether it was within these limits, read this accurately.

    Args:
        limits: Both ends are in.
        accuracy_mc: How far the logger may be off, either way; never excuses a reading.
    """

    limits: Limits
    accuracy_mc: int = 0


@dataclass(frozen=True, slots=True)
class Excursion:
    """
    Readings outside on one side, one after the other without a gap.

    Args:
        side: Above or below.
        from_ms: The first reading outside.
        to_ms: The last reading outside.
        readings: How many.
        extreme_mc: The one farthest out.
        interpolated_ms: By straight lines between readings; exact.
        hold_ms: With each reading kept until the next.
        conservative_ms: With every step that has an end outside.
    """

    side: Side
    from_ms: int
    to_ms: int
    readings: int
    extreme_mc: int
    interpolated_ms: Fraction
    hold_ms: int
    conservative_ms: int

    @property
    def interpolated_min(self) -> float:
        """The interpolated time in minutes, rounded once."""
        return float(self.interpolated_ms / MINUTE_MS)

    @property
    def hold_min(self) -> float:
        """The hold time in minutes."""
        return self.hold_ms / MINUTE_MS

    @property
    def conservative_min(self) -> float:
        """The conservative time in minutes."""
        return self.conservative_ms / MINUTE_MS


@dataclass(frozen=True, slots=True)
class Totals:
    """The time out on one side, in milliseconds, and how many excursions it was."""

    interpolated_ms: float
    hold_ms: int
    conservative_ms: int
    at_least_ms: int
    at_most_ms: int
    excursions: int

    def minutes(self) -> dict[str, float]:
        """Return each value in minutes, under the name that answers give it."""
        return {
            "interpolated_min": self.interpolated_ms / MINUTE_MS,
            "hold_min": self.hold_ms / MINUTE_MS,
            "conservative_min": self.conservative_ms / MINUTE_MS,
            "at_least_min": self.at_least_ms / MINUTE_MS,
            "at_most_min": self.at_most_ms / MINUTE_MS,
        }


@dataclass(frozen=True, slots=True)
class Exposure:
    """
    What a record says of its band.

    Args:
        excursions: In the order in which they began; above before below.
        listed_all: Whether `excursions` holds every one, or only the first of very many.
        above: The time out on the warm side.
        below: The time out on the cold side.
        instants: With a reading.
        outside: Of them, with a reading outside.
        undecidable: Of them, on a limit that the coarse display leaves open.
        known_ms: The time between readings without gaps.
        unknown_ms: The time in gaps.
    """

    excursions: tuple[Excursion, ...]
    listed_all: bool
    above: Totals
    below: Totals
    instants: int
    outside: int
    undecidable: int
    known_ms: int
    unknown_ms: int

    @property
    def verdict(self) -> Verdict:
        """What can be said at most; a reading outside is an excursion, however short."""
        if self.outside:
            return Verdict.EXCURSION
        seen_whole = self.instants > 0 and not self.unknown_ms and not self.undecidable
        return Verdict.IN_RANGE if seen_whole else Verdict.NOT_KNOWN

    @property
    def coverage_share(self) -> float:
        """The share of the time that was seen, 0 to 1; 0 for a record without any length."""
        whole = self.known_ms + self.unknown_ms
        return self.known_ms / whole if whole else 0.0


@dataclass(frozen=True, slots=True)
class Cumulative:
    """The time out over several records, added up; going back inside resets nothing."""

    above: Totals
    below: Totals
    known_ms: int
    unknown_ms: int
