"""
Follows one unit's readings as files come: reads each once, raises, clears, says who is due.

Time and the stream of changes are handed in. A file that cannot be read is said once, with the
reason, and left alone; it is looked at again when it changes.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from pathlib import Path
from typing import Protocol as Port
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from thawline.app.ports import Site
from thawline.app.watching import Change, Watched, alerts_of, note_changes
from thawline.base.errors import ThawlineError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_time, to_ms
from thawline.store.alert_fold import ToldAlert, ToldAnswer
from thawline.store.alerts import Alert, degrees
from thawline.store.calls import Call, call_line, calls, due_calls, printed_chain
from thawline.store.readings import Readings, readings
from thawline.store.watching import late

_MS = timedelta(milliseconds=1)


class SeenReadings(Port):
    """The readings of every unit that were ever read here; each is kept once."""

    def of(self, unit: str) -> Readings:
        """Return all readings of a unit."""

    def add(self, unit: str, new: Readings, source: str) -> None:
        """Keep readings; those that are there already stay as they are. On disk on return."""


@dataclass(frozen=True, slots=True)
class FileReadings:
    """
    What a file says so far.

    Args:
        seen: Its readings.
        unfinished: Its last line has no end yet and waits.
        unplaced_mc: Temperatures whose time cannot be told.
    """

    seen: Readings
    unfinished: bool = False
    unplaced_mc: tuple[int, ...] = ()


NO_CHAIN = "Nobody is in the call chain of this site: thawline site chain"

ReadFile = Callable[[Path], FileReadings]


@dataclass(frozen=True, slots=True)
class Line:
    """Something that changed, when, and what is printed below it."""

    at: Instant
    says: str
    finding: Finding | None = None
    below: tuple[str, ...] = ()


@dataclass(slots=True)
class Follower:
    """One unit that is followed, by whom, and what was said of it so far."""

    site: Site
    what: Watched
    by: str
    read: ReadFile
    kept: SeenReadings
    began: Instant | None
    seen: Readings = field(init=False)
    new: int = 0
    _troubles: set[tuple[Path, str]] = field(default_factory=set)
    _waiting: set[Path] = field(default_factory=set)
    _printed: set[tuple[str, int, int]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.seen = self.kept.of(self.what.unit.name)

    def begin(self) -> Iterator[Line]:
        """Yield what stood before this began to follow, with whom to call."""
        for told in self.standing():
            found = self.what.finding(told.alert, self.site, self.site.now())
            below = self._chain(told.alert) if told.alert.is_open else ()
            yield Line(from_ms(told.raised_ms), found.says, found, below)

    def look(self, changed: Iterable[Path]) -> Iterator[Line]:
        """Yield what the changed files bring, then who is due; without files, only that."""
        waiting, self._waiting = self._waiting, set()
        for path in sorted({*changed, *waiting}):
            yield from self._take(path)
        for change in note_changes(self.site, self.by, self.what, self.seen, self.began):
            yield self._changed(change)
        yield from self._due()

    def standing(self) -> list[ToldAlert]:
        """Return the alerts that somebody still has to see to."""
        return [told for told in alerts_of(self.site, self.what.unit.name) if told.stands]

    def _take(self, path: Path) -> Iterator[Line]:
        now = self.site.now()
        try:
            found = self.read(path)
        except (ThawlineError, OSError) as error:
            yield from self._once(
                path, f"{path.name} cannot be read and is left alone: {error}"
            )
            return
        if found.unfinished:
            says = f"the last line of {path.name} has no end yet and waits for the rest"
            yield from self._once(path, says)
        yield from self._without_time(path, found)
        yield from self._to_come(path, found.seen, now)
        new = unseen(self.seen, _come(found.seen, now))
        if len(new) == 0:
            return
        unit = self.what.unit.name
        self.kept.add(unit, new, path.name)
        self.seen = _joined(self.seen, new)
        self.new += len(new)
        yield Line(now, _took(new, self.what.called, path, self.site.zone))
        yield from self._too_late(new, now)

    def _once(self, path: Path, says: str, level: Level = Level.CHECK) -> Iterator[Line]:
        """Yield a remark about a file unless it was made before."""
        if (path, says) not in self._troubles:
            self._troubles.add((path, says))
            found = Finding(level, "file-not-read", says)
            yield Line(self.site.now(), says, found)

    def _to_come(self, path: Path, seen: Readings, now: Instant) -> Iterator[Line]:
        if (seen.at_ms > to_ms(now)).any():
            says = (
                f"{path.name} has readings stamped after now; they wait until then. "
                "Look at the logger's clock"
            )
            self._waiting.add(path)
            yield from self._once(path, says, Level.ACT)

    def _without_time(self, path: Path, found: FileReadings) -> Iterator[Line]:
        count = sum(not self.what.figures.inside(each) for each in found.unplaced_mc)
        if count:
            says = (
                f"{path.name}: {count} of the temperatures whose time cannot be told are "
                "outside the band. Look: thawline cold read"
            )
            yield from self._once(path, says, Level.ACT)

    def _too_late(self, new: Readings, now: Instant) -> Iterator[Line]:
        known = [told.alert for told in alerts_of(self.site, self.what.unit.name)]
        count = late(new, self.what.figures, known)
        if count:
            says = (
                f"{count} readings outside the band came late, for a time that is over: an "
                "excursion, which nobody is called about now. Look: thawline cold exposure"
            )
            yield Line(now, says, Finding(Level.ACT, "late-outside", says))

    def _changed(self, change: Change) -> Line:
        alert, now = change.alert, self.site.now()
        found = self.what.finding(alert, self.site, now)
        if change.over:
            assert alert.cleared_ms is not None  # noqa: S101  that is what being over means
            return Line(from_ms(alert.cleared_ms), f"over: {found.says}")
        below = self._chain(alert) if alert.is_open else ()
        return Line(from_ms(alert.raised_ms), found.says, found, below)

    def _chain(self, alert: Alert) -> tuple[str, ...]:
        """Return the call chain of an alert, which from now on has been printed."""
        is_it = (told for told in self.standing() if told.alert == alert)
        lines = [line for told in is_it for line in chain_lines(self.site, self.what, told)]
        self._printed.add((alert.cause, alert.since_ms, 1))
        return tuple(lines)

    def _due(self) -> Iterator[Line]:
        """Yield the newest call that became due since the last look, for each open alert."""
        for told in self.standing():
            due = calls_by(self.site, self.what, told, self.site.now())
            key = (told.cause, told.since_ms, len(due))
            if told.cleared_ms is None and due and key not in self._printed:
                self._printed.add(key)
                says = call_line(due[-1], self.site.zone, first=len(due) == 1)
                yield Line(due[-1].at, f"{self.what.called}: {says}")


def calls_by(site: Site, what: Watched, told: ToldAlert, now: Instant) -> tuple[Call, ...]:
    """Return the calls about an alert that are due by now, the newest last."""
    after = _next_after(what)
    return due_calls(calls(site.calls, told.calls_from, after, told.answered), now)


def chain_lines(site: Site, what: Watched, told: ToldAlert) -> list[str]:
    """Return the call chain of an alert as it is printed beside it, and who took it on."""
    if not site.calls:
        return [NO_CHAIN]
    after = _next_after(what)
    lines = printed_chain(site.calls, told.calls_from, after, told.answered, site.zone)
    return [*lines, *(answer_line(each, site.zone) for each in told.answers)]


def answer_line(told: ToldAnswer, zone: ZoneInfo) -> str:
    """Return who answered, when, and what they said."""
    at = local_time(from_ms(told.at_ms), zone).strftime("%H:%M")
    return f"Answered {at} by {told.by}{'' if told.takes else ', who cannot go'}: {told.says}"


def _next_after(what: Watched) -> timedelta | None:
    after = what.figures.next_call_ms
    return None if after is None else after * _MS


def unseen(known: Readings, found: Readings) -> Readings:
    """Return the readings that are not known; another temperature at a known time is one."""
    new = ~np.isin(_pairs(found), _pairs(known))
    return readings(found.at_ms[new], found.temp_mc[new])


def _pairs(seen: Readings) -> NDArray[np.complex128]:
    """Return time and temperature as one number each; both fit into it exactly."""
    return seen.at_ms.astype(np.float64) + 1j * seen.temp_mc


def _come(seen: Readings, now: Instant) -> Readings:
    """Return the readings whose time has come."""
    come = seen.at_ms <= to_ms(now)
    return readings(seen.at_ms[come], seen.temp_mc[come])


def _joined(known: Readings, new: Readings) -> Readings:
    at_ms = np.concatenate([known.at_ms, new.at_ms])
    return readings(at_ms, np.concatenate([known.temp_mc, new.temp_mc]))


def _took(new: Readings, unit: str, path: Path, zone: ZoneInfo) -> str:
    """Return how many readings a file brought, and the last of them."""
    last = int(np.argmax(new.at_ms))
    at = local_time(from_ms(int(new.at_ms[last])), zone).strftime("%H:%M")
    many = "1 new reading" if len(new) == 1 else f"{len(new):,} new readings"
    shown = degrees(int(new.temp_mc[last]))
    return f"{unit}: {many} from {path.name}, the last of {at} is {shown}"
