"""
A freezer that is watched, on the Tuesday of the cast: band minus 50 to minus 15 °C, called out
after 5 minutes, over after 5 minutes 1 °C inside, the next call after 10 minutes, silent after
30 minutes. Files are a few rows in memory.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
from tests.cast import BRYONY, ROWAN, SORREL, a_day, at, small

from thawline.app.followed_readings import FollowedReadings
from thawline.app.following import FileReadings, Follower
from thawline.app.watching import watched
from thawline.base.errors import ExchangeError
from thawline.base.instants import to_ms
from thawline.store.calls import Called
from thawline.store.readings import readings
from thawline.store.units import Followed, StorageUnit

ALARMS = """\
[alarms.frozen]
item = "A2"
band = "frozen"
delay = "PT5M"
dead_band_c = 1
clears_after = "PT5M"
calls_next_after = "PT10M"
source = "demo"
[logging]
item = "L1"
interval_most = "PT30M"
accuracy_c = 0.5
source = "demo"
[rounds.table]
item = "L2"
every = "PT1H"
source = "demo"
[rounds.display]
item = "L3"
times_a_day = 2
source = "demo"
"""

FREEZER = StorageUnit("freezer-1", "frozen", Followed.LIVE)
CHAIN = (
    Called(SORREL, "vaccine coordinator", "555-0101"),
    Called(ROWAN, "site lead", "555-0102"),
    Called(BRYONY, "clinical lead", "555-0103"),
)
LOG = Path("log.csv")


class FakeSeen:
    """Readings in memory, each kept once."""

    def __init__(self):
        self.kept = {}

    def of(self, unit):
        """Return all readings of a unit."""
        rows = np.array(self.kept.get(unit, []), dtype=np.int64).reshape(-1, 2)
        return readings(rows[:, 0], rows[:, 1])

    def add(self, unit, new, source):  # noqa: ARG002  as the port is called
        """Keep readings that are not there."""
        held = self.kept.setdefault(unit, [])
        rows = zip(new.at_ms.tolist(), new.temp_mc.tolist(), strict=True)
        held += [row for row in rows if row not in held]


class ColdRoom:
    """A site with one watched freezer, its readings and the files that a logger drops."""

    def __init__(self, calls=CHAIN, unit=FREEZER, *, recorded=False):
        self.day = a_day(small(ALARMS))
        self.day.site = replace(self.day.site, units=(unit,), calls=calls)
        self.unit = unit
        self.seen = FollowedReadings(self.day.site, ROWAN) if recorded else FakeSeen()
        self.files = {}
        self.follow()

    @property
    def site(self):
        """Return the site."""
        return self.day.site

    def follow(self, began=None, *, holds=False):
        """Begin to follow, as after a restart."""
        what = watched(self.site, self.unit, self.day.now, sends=True)
        self.follower = Follower(
            self.site, what, ROWAN, self._read, self.seen, began, holds=holds
        )

    def _read(self, path):
        found = self.files[path]
        if isinstance(found, Exception):
            raise found
        return found

    def file(self, *rows, path=LOG, unfinished=False):
        """Let a file hold rows of a wall-clock time and degrees Celsius."""
        at_ms = [to_ms(at(clock)) for clock, _ in rows]
        temps = [round(1000 * degrees) for _, degrees in rows]
        self.files[path] = FileReadings(readings(at_ms, temps), unfinished=unfinished)

    def broken(self, says, path=LOG):
        """Let a file be none that can be read."""
        self.files[path] = ExchangeError(says)

    def look(self, clock, *changed):
        """Return what is said when the follower looks at these files at a time."""
        self.day.now = at(clock)
        return [line.says for line in self.follower.look(changed)]

    def lines(self, clock, *changed):
        """Return the lines themselves."""
        self.day.now = at(clock)
        return list(self.follower.look(changed))

    def warm_night(self):
        """Let the freezer warm from 02:08 on, and look at 02:14."""
        self.file(("02:00", -20), ("02:03", -19.5), ("02:08", -14.2), ("02:14", -12))
        return self.lines("02:14", LOG)

    def events(self, kind):
        """Return the recorded events of a kind."""
        return [e.event for e in self.day.entries() if isinstance(e.event, kind)]
