"""
What tablets still owe the site at close-out: entries that wait there, numbers that are missing.

Each tablet counts its entries from 1. A number that the site never answered is a gap: the
entry may still wait on the tablet, or lie there refused, or be gone with the tablet.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant
from thawline.web.tablets.heard import Known, arrivals, known_tablets


@dataclass(frozen=True, slots=True)
class Gap:
    """
    One tablet that has not sent everything.

    Args:
        tablet: As people call it.
        name: By which those who sign without it name it.
        missing: The numbers that never arrived, as "41 to 43".
        waiting: How many it said it keeps.
        heard_at: When it last spoke.
    """

    tablet: str
    name: str
    missing: tuple[str, ...]
    waiting: int
    heard_at: Instant

    @property
    def says(self) -> str:
        """Return the sentence for the close-out."""
        if self.missing:
            return f"{self.tablet}: entries {', '.join(self.missing)} never arrived"
        return f"{self.tablet}: {self.waiting} entries still wait there"

    @property
    def asks(self) -> str:
        """Return what has to be done before a day is signed."""
        return f"{self.says}. Bring it to the network and look at it, or both sign without it"


def gaps() -> tuple[Gap, ...]:
    """Return the tablets that have not sent everything; none: all that was pressed is here."""
    came = arrivals()
    found = (_gap(each, came.get(each.word.tablet, set())) for each in known_tablets())
    return tuple(gap for gap in found if gap.missing or gap.waiting)


def _gap(known: Known, came: set[int]) -> Gap:
    last = max([known.word.last, *came])
    missing = sorted(set(range(1, last + 1)) - came)
    runs = tuple(in_runs(missing))
    return Gap(known.called, known.name, runs, known.word.waiting, known.at)


def in_runs(numbers: Sequence[int]) -> Iterable[str]:
    """Yield rising numbers as "3" and "41 to 43"."""
    start = 0
    for at, number in enumerate(numbers):
        if at + 1 == len(numbers) or numbers[at + 1] != number + 1:
            first = numbers[start]
            yield str(first) if first == number else f"{first} to {number}"
            start = at + 1
