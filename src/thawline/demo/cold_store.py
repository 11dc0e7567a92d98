"""
The cold stores of the demo: units, whom a site calls at night, and what their loggers wrote.

Loggers write files as they do in life, a whole file anew each time; the demo follows them
through the same use cases as `thawline cold follow`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import time, timedelta
from pathlib import Path

from thawline.adapters import sites
from thawline.adapters.followed_folder import reading
from thawline.adapters.whole_files import write_picture
from thawline.app.followed_readings import FollowedReadings
from thawline.app.following import Follower, Line
from thawline.app.in_force import in_force
from thawline.app.looked_at import LookedAt, look, question_about
from thawline.app.ports import Site
from thawline.app.units import unit_of
from thawline.app.watching import watched
from thawline.base.instants import Instant
from thawline.demo.cold_model import Seen
from thawline.demo.crew import Crew
from thawline.demo.folder import COLD_STORE
from thawline.demo.logger_texts import LAYOUTS, Logged
from thawline.draw.trace import Trace
from thawline.draw.trace_record import Shown, trace_of
from thawline.draw.trace_svg import trace_svg
from thawline.exchange.loggers.asked import Asked
from thawline.store.calls import Called
from thawline.store.nights import Hours
from thawline.store.readings import Readings
from thawline.store.units import Followed, StorageUnit

NIGHT = Hours(time(19), time(6))
_NUMBERS = ("555-0141", "555-0142", "555-0143")  # kept for stories (from memory)


def settle(folder: Path, units: Sequence[StorageUnit], crew: Crew) -> None:
    """Write a site's units, whom it calls and its night hours into its settings."""
    for unit in units:
        sites.put_unit(folder, unit)
    people = (
        (crew.coordinator, "vaccine coordinator"),
        (crew.lead, "site lead"),
        (crew.clinical_lead, "clinical lead"),
    )
    chain = [Called(name, role, no) for (name, role), no in zip(people, _NUMBERS, strict=True)]
    sites.put_watch(folder, chain, NIGHT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Logger:
    """A logger in a unit: what it saw, from which midnight, and in which layout it writes."""

    unit: StorageUnit
    place: str
    midnight: Instant
    every_s: int
    seen: tuple[Seen, ...]
    layout: str
    high_c: float

    def written(self, site: Site, until_s: int) -> bytes:
        """Return its file as it is at a second after that midnight."""
        logged = Logged(
            unit=self.unit.title,
            site=self.place,
            midnight=self.midnight,
            zone=site.zone,
            every_s=self.every_s,
            seen=[each for each in self.seen if each.at_s <= until_s],
            high_c=self.high_c,
        )
        return LAYOUTS[self.layout](logged)


@dataclass(slots=True)
class Watch:
    """A unit of a site that is followed, by whom, and all that was said of it."""

    site: Site
    home: Path
    logger: Logger
    by: str
    lines: list[Line] = field(default_factory=list)
    _follower: Follower | None = None

    @property
    def file(self) -> Path:
        """Return where the logger writes."""
        return self.home / COLD_STORE / f"{self.site.name}-{self.logger.unit.name}-DEMO.csv"

    def arrives(self, until_s: int) -> None:
        """Write the logger's file anew and follow it."""
        self.file.parent.mkdir(exist_ok=True)
        self.file.write_bytes(self.logger.written(self.site, until_s))
        self.lines += self._followed().look([self.file])

    def time_passes(self) -> None:
        """Look whether somebody is due, without a new reading."""
        self.lines += self._followed().look([])

    def readings(self) -> Readings:
        """Return all readings of the unit that are known."""
        return self._followed().seen

    def looked_at(self, since: Instant | None = None) -> LookedAt:
        """Return what the known readings say of the unit's band."""
        with self.site.ledger.view() as view:
            protocol = in_force(self.site, view, self.site.now()).protocol
        question = question_about(protocol, self.logger.unit.band, self.logger.unit.accuracy_c)
        return look(self.readings(), question, since=since)

    def picture(self, held: str, since: Instant | None = None) -> Trace:
        """Return the trace, and write it as SVG beside the logger's file."""
        found = self.looked_at(since)
        shown = Shown(
            title=f"{self.logger.unit.title}, {self.logger.place}",
            zone=self.site.zone,
            limits=found.question.limits,
            held=held,
            demo=True,
        )
        trace = trace_of(found.tidy, found.exposure, shown)
        write_picture(str(self.file.with_suffix(".svg")), trace_svg(trace))
        return trace

    def _followed(self) -> Follower:
        if self._follower is None:
            unit, now = unit_of(self.site, self.logger.unit.name), self.site.now()
            live = unit.followed is Followed.LIVE
            self._follower = Follower(
                self.site,
                watched(self.site, unit, now, sends=live),
                self.by,
                reading(Asked(zone=self.site.zone, zone_is="the site's")),
                FollowedReadings(self.site, self.by),
                now if live else None,
            )
        return self._follower


def held_says(vials: int) -> str:
    """Return what stands under the picture of a unit whose vials are held."""
    return f"{vials} vials are held: do not use, do not discard, keep cold and apart, call."


def after(start: Instant, seconds: int) -> Instant:
    """Return the instant so many seconds later."""
    return Instant(start + timedelta(seconds=seconds))
