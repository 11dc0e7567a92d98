"""
Follows one unit's readings as files come: reads each once, raises, clears, says who is due.

Time and the stream of changes are handed in. A file that cannot be read is said once, with the
reason, and left alone; it is looked at again when it changes. What cannot be written down is
said all the same, and tried again at each look.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol as Port

from thawline.app.call_chain import calls_by, chain_lines, not_on_record
from thawline.app.cold import CAUTION
from thawline.app.new_rows import come, joined_with, took, unseen
from thawline.app.ports import Site
from thawline.app.unheld import Unheld, hold_unheld, unheld
from thawline.app.watching import Change, Watched, alerts_of, changes_of, note_change
from thawline.base.errors import ThawlineError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, to_ms
from thawline.store.alert_fold import ToldAlert
from thawline.store.alerts import Alert
from thawline.store.calls import call_line
from thawline.store.readings import Readings
from thawline.store.watching import late


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
    """
    One unit that is followed, by whom, and what was said of it so far.

    Args:
        site: Where the unit stands.
        what: The unit and its figures.
        by: Who follows it.
        read: Reads a file.
        kept: The readings on record.
        began: Since when its logger is expected to send.
        holds: Record a hold for what was inside; else the command for it is said.
    """

    site: Site
    what: Watched
    by: str
    read: ReadFile
    kept: SeenReadings
    began: Instant | None
    holds: bool = False
    seen: Readings = field(init=False)
    new: int = 0
    _troubles: set[tuple[Path, str]] = field(default_factory=set)
    _waiting: set[Path] = field(default_factory=set)
    _printed: set[tuple[str, int, int]] = field(default_factory=set)
    _not_noted: set[Change] = field(default_factory=set)
    _not_held: set[tuple[Instant, frozenset[str]]] = field(default_factory=set)
    _out_since: Instant | None = None
    _folder_gone: bool = False

    def __post_init__(self) -> None:
        self.seen = self.kept.of(self.what.unit.name)

    def begin(self) -> Iterator[Line]:
        """Yield what stood before this began to follow, with whom to call."""
        for told in self.standing():
            found = self.what.finding(told.alert, self.site, self.site.now())
            below = self._chain(told.alert) if told.alert.is_open else ()
            yield Line(from_ms(told.raised_ms), found.says, found, below)
        yield from self._hold(None)

    def look(self, changed: Iterable[Path]) -> Iterator[Line]:
        """Yield what the changed files bring, then who is due; without files, only that."""
        if self._folder_gone:
            self._folder_gone = False
            yield Line(self.site.now(), f"{self.what.called}: the folder is there again")
        waiting, self._waiting = self._waiting, set()
        for path in sorted({*changed, *waiting}):
            yield from self._take(path)
        yield from self._after()

    def without_folder(self, folder: Path) -> Iterator[Line]:
        """Yield, once, that the folder is gone, and what time alone brings."""
        if not self._folder_gone:
            self._folder_gone = True
            says = (
                f"the folder {folder} is not there any more: not known how warm "
                f"{self.what.called} is until it is there again. Look at the display; plug the "
                "logger or the share in again"
            )
            yield Line(self.site.now(), says, Finding(Level.ACT, "folder-gone", says))
        yield from self._after()

    def _after(self) -> Iterator[Line]:
        """Yield what is raised and ends, what is not held, and who is due."""
        for change in changes_of(self.site, self.what, self.seen, self.began):
            yield from self._noted(change)
        if self._out_since is not None:
            since, self._out_since = self._out_since, None
            yield from self._hold(since)
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
        yield from self._tocome(path, found.seen, now)
        new = unseen(self.seen, come(found.seen, now))
        if len(new) == 0:
            return
        try:
            self.kept.add(self.what.unit.name, new, path.name)
        except (ThawlineError, OSError) as error:
            yield from self._not_written(path, new, error)
            return
        self._note_outside(new)
        self.seen = joined_with(self.seen, new)
        self.new += len(new)
        yield Line(now, took(new, self.what.called, path, self.site.zone))
        yield from self._too_late(new, now)

    def _not_written(self, path: Path, new: Readings, error: Exception) -> Iterator[Line]:
        """Yield that readings are not on record; they are taken again at the next look."""
        self._waiting.add(path)
        out = self._outside(new)
        says = (
            f"{len(new):,} new readings of {path.name} could not be written down: {error}. "
            "Leave the file where it is: they are tried again at each look"
        )
        if len(out):
            says += f". {len(out):,} of them are outside the band: what was inside is {CAUTION}"
        yield from self._once(path, says, Level.STOP if len(out) else Level.ACT)

    def _outside(self, new: Readings) -> list[int]:
        """Return the instants of the readings outside the band."""
        rows = zip(new.at_ms.tolist(), new.temp_mc.tolist(), strict=True)
        return [at_ms for at_ms, temp_mc in rows if not self.what.figures.inside(temp_mc)]

    def _note_outside(self, new: Readings) -> None:
        """Remember from when on it must be looked at what is held."""
        since = [from_ms(at_ms) for at_ms in self._outside(new)]
        since += [] if self._out_since is None else [self._out_since]
        self._out_since = min(since, default=None)

    def _hold(self, since: Instant | None) -> Iterator[Line]:
        """Yield what was inside and is held by nobody: held now, or with the command for it."""
        try:
            for each in unheld(self.site, self.what.unit.name, since):
                yield from self._hold_one(each)
        except (ThawlineError, OSError) as error:
            self._out_since = since or from_ms(0)
            says = f"a hold could not be written down: {error}. It is tried again at each look"
            yield from self._once(Path(), says, Level.STOP)

    def _hold_one(self, each: Unheld) -> Iterator[Line]:
        now = self.site.now()
        if self.holds:
            findings, out = hold_unheld(self.site, self.by, each)
            stop = tuple(f"stop {one.syringe}, last at {one.station or '?'}" for one in out)
            for found in findings:
                yield Line(now, found.says, found, stop if found.code == "held" else ())
        elif (each.since, each.codes) not in self._not_held:
            self._not_held.add((each.since, each.codes))
            below = (each.command(self.site, self.by),)
            yield Line(now, each.finding.says, each.finding, below)

    def _once(self, path: Path, says: str, level: Level = Level.CHECK) -> Iterator[Line]:
        """Yield a remark about a file unless it was made before."""
        if (path, says) not in self._troubles:
            self._troubles.add((path, says))
            found = Finding(level, "file-not-read", says)
            yield Line(self.site.now(), says, found)

    def _tocome(self, path: Path, seen: Readings, now: Instant) -> Iterator[Line]:
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

    def _noted(self, change: Change) -> Iterator[Line]:
        """Record a change and yield it; one that cannot be recorded is said all the same."""
        try:
            note_change(self.site, self.by, self.what, change)
        except (ThawlineError, OSError) as error:
            found = self.what.finding(change.alert, self.site, self.site.now())
            says = (
                f"{found.says}. This could not be written down: {error}. "
                "It is tried again at each look"
            )
            if change not in self._not_noted:
                self._not_noted.add(change)
                told = not_on_record(change.alert, self.site.now())
                below = tuple(chain_lines(self.site, self.what, told))
                found = Finding(found.level, found.code, says, found.item)
                yield Line(self.site.now(), says, found, below)
            return
        yield self._changed(change)

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
