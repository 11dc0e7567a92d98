"""Are we crying wolf? What acts of a day were answered with, by the hour and the level."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.findings import Level
from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.alert_events import AlertAnswered, AlertRaised
from thawline.ledger.entries import View


@dataclass(frozen=True, slots=True)
class Hour:
    """One hour of the day: how often each level was said."""

    starts: Instant
    stop: int
    act: int
    check: int

    @property
    def all(self) -> int:
        """Return how much was said in that hour."""
        return self.stop + self.act + self.check


@dataclass(frozen=True, slots=True)
class AlertLoad:
    """A day's load; `raised` and `taken_on` are the alerts of the cold store."""

    hours: tuple[Hour, ...]
    raised: int
    taken_on: int

    @property
    def stops(self) -> int:
        """Return how many of all were stops."""
        return sum(hour.stop for hour in self.hours)

    @property
    def all(self) -> int:
        """Return how much was said on that day."""
        return sum(hour.all for hour in self.hours)


def alert_load(view: View, day: date, zone: ZoneInfo) -> AlertLoad:
    """Return what the entries that were written on a day were answered with."""
    said: Counter[tuple[Instant, Level]] = Counter()
    raised, taken = 0, 0
    for entry in view.entries():
        at = from_ms(entry.recorded_ms)
        if local_date(at, zone) != day:
            continue
        hour = Instant(at.replace(minute=0, second=0, microsecond=0))
        said.update((hour, found.level) for found in entry.findings)
        raised += isinstance(entry.event, AlertRaised)
        taken += isinstance(entry.event, AlertAnswered) and entry.event.takes
    starts = sorted({hour for hour, _ in said})
    return AlertLoad(
        tuple(
            Hour(at, said[at, Level.STOP], said[at, Level.ACT], said[at, Level.CHECK])
            for at in starts
        ),
        raised,
        taken,
    )
