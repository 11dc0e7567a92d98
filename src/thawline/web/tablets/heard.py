"""What tablets say of themselves, and what they have sent: written here, asked by others."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated

from msgspec import Meta

from thawline.base.instants import Instant, from_ms, to_ms
from thawline.web.tablets.models import Arrived, Heard, ShownHold

LONGEST_TABLET = 16
"""Signs of the code that a tablet makes for itself."""
Count = Annotated[int, Meta(ge=0, le=10_000_000)]
"""A number that a tablet counts by; the largest is more than all sites together ever reach."""
LIVE = timedelta(hours=12)
"""A tablet that has been silent for longer is not on the floor: the length of a shift."""


@dataclass(frozen=True, slots=True)
class Word:
    """
    What a tablet says of itself.

    Args:
        tablet: The code that it made for itself.
        device: Its name, where it is enrolled.
        station: Where it stands.
        last: The number of its newest entry; they are counted from 1.
        waiting: How many entries it still keeps.
    """

    tablet: str
    device: str = ""
    station: str = ""
    last: int = 0
    waiting: int = 0


@dataclass(frozen=True, slots=True)
class Known:
    """A tablet as the site knows it."""

    word: Word
    at: Instant

    @property
    def name(self) -> str:
        """Return its name, or what stands on its own screen where it has none."""
        return self.word.device or f"tablet {self.word.tablet}"

    @property
    def called(self) -> str:
        """Return what people call it, with its station."""
        return f"{self.name}, {self.word.station}" if self.word.station else self.name


def hear(word: Word, at: Instant) -> None:
    """Keep what a tablet says of itself."""
    Heard.objects.update_or_create(
        tablet=word.tablet,
        defaults={
            "device": word.device,
            "station": word.station,
            "at_ms": to_ms(at),
            "last": word.last,
            "waiting": word.waiting,
        },
    )


def arrived(tablet: str, number: int) -> None:
    """Keep that an entry of a tablet was answered for good, or taken back unsent."""
    Arrived.objects.get_or_create(tablet=tablet, number=number)


def shown(tablet: str, holds: Iterable[int], at: Instant) -> None:
    """Keep that a tablet has had these holds on its screen."""
    rows = [ShownHold(tablet=tablet, hold=hold, at_ms=to_ms(at)) for hold in holds]
    ShownHold.objects.bulk_create(rows, ignore_conflicts=True)


def known_tablets() -> list[Known]:
    """Return every tablet that ever spoke."""
    return [
        Known(
            Word(row.tablet, row.device, row.station, row.last, row.waiting), from_ms(row.at_ms)
        )
        for row in Heard.objects.all()
    ]


def arrivals() -> Mapping[str, set[int]]:
    """Return the numbers that arrived, by tablet."""
    found: dict[str, set[int]] = {}
    for tablet, number in Arrived.objects.values_list("tablet", "number"):
        found.setdefault(tablet, set()).add(number)
    return found


def tablets_that_showed(hold: int) -> set[str]:
    """Return the tablets that have had a hold on their screen."""
    return set(ShownHold.objects.filter(hold=hold).values_list("tablet", flat=True))
