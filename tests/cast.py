"""
The people, the site and the small made-up protocol that the tests share; all invented.

Tuesday 3 February 2026 at Harrowmint Hall, six hours behind UTC. The protocol's figures were
never printed anywhere: a vial keeps 20 days from the freezer, 10 hours on the table, 5 hours
once open; it thaws 2 hours in the refrigerator and stands 10 minutes, or thaws 50 minutes on
the table; 8 doses are counted on and 9 may be drawn.
"""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import cache
from uuid import UUID
from zoneinfo import ZoneInfo

from tests.fakes import FakeLedger, FakePeople, FakeReadings
from thawline.adapters.wiring import FOLDS
from thawline.app.acts import Doing, Second
from thawline.app.adoption import adopt
from thawline.app.ports import Site
from thawline.app.receiving import Label, receive_frozen
from thawline.app.vials import move, open_vial, take_out
from thawline.base.instants import Instant, exactly, instant
from thawline.base.roles import Role
from thawline.receive.inspection import Arrival
from thawline.rules.reading import RuleFile, read_protocol

ROWAN = "Rowan Thistle"  # site lead
BRYONY = "Bryony Testwick"  # clinical lead
HAZEL = "Hazel Rainmoor"  # prepares and vaccinates
SORREL = "Sorrel Kettlewick"  # vaccine coordinator, at Quillbeck on some days
VISITOR = "Linden Nobody"  # has no PIN

PINS = {ROWAN: "730164", BRYONY: "284651", SORREL: "502917"}

CHICAGO = ZoneInfo("America/Chicago")
LOT, OTHER_LOT = "ZZ-1041", "ZZ-1107"
EXPIRY = "2026-08"
FREEZER = "freezer-1"

SMALL = """\
format = 1
[protocol]
id = "small"
title = "Small (made up)"
version = {version}
effective_from = {effective_from}
[product]
doses_per_vial = {{ item = "D1", value = 8, most = 9, source = "demo" }}
dose_volume_ml = {{ item = "D2", value = 0.5, source = "demo" }}
[bands.frozen]
item = "S1"
low_c = -50
high_c = -15
low_f = -58
high_f = 5
named_gap_above = "thawing"
source = "demo"
[bands.refrigerator]
item = "S2"
low_c = 2
high_c = 8
low_f = 36
high_f = 46
source = "demo"
[bands.room]
item = "S3"
low_c = 8
high_c = 25
low_f = 46
high_f = 77
source = "demo"
[clocks.chilled]
item = "C1"
starts_on = "leaves-frozen"
allows = "{chilled}"
source = "demo"
[clocks.room]
item = "C2"
starts_on = "to-table"
stops_on = "to-fridge"
allows = "{room}"
source = "demo"
[clocks.open]
item = "C4"
starts_on = "open"
allows = "{open}"
source = "demo"
[thaw.refrigerator]
item = "T1"
takes = "PT2H"
then_room = "PT10M"
source = "demo"
[thaw.room]
item = "T2"
takes = "PT50M"
source = "demo"
[schedule.dose_2]
item = "B1"
earliest = "P28D"
grace_for_judging = "P4D"
late_after = "P42D"
source = "demo"
[sources.demo]
kind = "invented for the demo"
"""

TRANSPORT = """\
[transport.total]
item = "T3"
allows = "PT5H"
source = "demo"
[transport.trips]
item = "T4"
most = 1
source = "demo"
[transport.by.cart]
item = "T6"
allows = "PT40M"
source = "demo"
[transport.by.vehicle]
item = "T7"
allows = "PT4H"
source = "demo"
[transport.by.helicopter]
item = "T9"
source = "demo"
"""

_FIGURES = {
    "version": 1,
    "effective_from": "2026-01-19T06:00:00-06:00",
    "chilled": "P20D",
    "room": "PT10H",
    "open": "PT5H",
}


@cache
def small(more: str = "", **figures: str | int) -> RuleFile:
    """Return the small protocol with other figures, or with further tables in it."""
    return read_protocol((SMALL.format(**{**_FIGURES, **figures}) + more).encode())


def at(clock: str, day: int = 3, month: int = 2) -> Instant:
    """Return a wall-clock time at the site on a day of early 2026; "13:01:59.999" too."""
    return instant(datetime.fromisoformat(f"2026-{month:02}-{day:02}T{clock}-06:00"))


@dataclass
class FakeRules:
    """Protocol files by hash, in memory."""

    files: dict[str, RuleFile] = field(default_factory=dict)

    def protocol(self, ref):
        """Return the file of that hash."""
        return self.files[ref.sha256].protocol


class FakePins:
    """The PINs of the cast."""

    def fits(self, name, pin):
        """Say whether the PIN is this person's."""
        return PINS.get(name) == pin

    def role_of(self, name):
        """Return the role that was given out with the PIN."""
        return Role.CLINICAL_LEAD if name == BRYONY else None


@dataclass
class Day:
    """A site in memory and the hand of a clock that the test moves."""

    site: Site
    rules: FakeRules
    now: Instant

    def doing(self, clock: str | None = None, *, by: str = HAZEL, **more) -> Doing:
        """Return who does it when: by the wall clock of the Tuesday, or now."""
        self.now = max(self.now, at(clock)) if clock else self.now
        occurred = more.pop("occurred", exactly(at(clock) if clock else self.now))
        return Doing(
            by=by,
            occurred=occurred,
            recorded_at=self.now,
            id=more.pop("id", None) or self.site.mint(),
            **more,
        )

    def adopt(self, file: RuleFile, **more):
        """Take a protocol into use."""
        self.rules.files[file.ref.sha256] = file
        return adopt(self.site, self.doing(**more), file)

    def receive(self, vials: int = 40, clock: str = "01:00", lot: str = LOT, **seen):
        """Receive frozen cartons with nothing wrong, or with what was seen."""
        arrival = Arrival(vials, **{"listed_vials": vials, **seen})
        label = Label(lot, EXPIRY)
        return receive_frozen(self.site, self.doing(clock, by=ROWAN), label, FREEZER, arrival)

    def thaw(self, count: int = 1, clock: str = "04:00", lot: str = LOT) -> list[str]:
        """Take vials to the refrigerator; return their codes."""
        doing = self.doing(clock, by=ROWAN)
        return list(take_out(self.site, doing, lot, FREEZER, count, "fridge").event.vials)

    def ready(self, clock: str = "06:35", count: int = 1) -> list[str]:
        """Thaw vials from 04:00 and bring them to the table at the time given."""
        codes = self.thaw(count)
        move(self.site, self.doing(clock, by=ROWAN), codes, "table")
        return codes

    def opened(self, clock: str = "07:00") -> str:
        """Return a vial that is open since the time given."""
        (code,) = self.ready()
        open_vial(self.site, self.doing(clock), code)
        return code

    def entries(self) -> list:
        """Return everything recorded, oldest first."""
        with self.site.ledger.view() as view:
            return list(view.entries())

    def one(self, fold, key):
        """Return the state of one thing."""
        with self.site.ledger.view() as view:
            return view.one(fold, key)


def a_day(file: RuleFile | None = None, vials: int = 40, since: Instant | None = None) -> Day:
    """Return Harrowmint Hall on its Tuesday, a protocol in force and vials in the freezer."""
    numbers = iter(range(1, 10_000))
    rules = FakeRules()
    site = Site(
        name="harrowmint",
        zone=CHICAGO,
        ledger=FakeLedger(FOLDS),
        rules=rules,
        people=FakePeople(),
        pins=FakePins(),
        readings=FakeReadings(),
        now=lambda: day.now,
        mint=lambda: UUID(int=next(numbers)),
    )
    day = Day(site, rules, since or at("00:00"))
    day.adopt(file or small(), by=ROWAN)
    if vials:
        day.receive(vials)
    return day


def with_second(doing: Doing, name: str = BRYONY, *, by_own_entry: bool = True) -> Doing:
    """Return the act with a second person, there by their own PIN or only named."""
    return replace(doing, second=Second(name, by_own_entry))


def codes(findings) -> list[str]:
    """Return the codes of findings, in their order."""
    return [finding.code for finding in findings]


MS = timedelta(milliseconds=1)
MINUTE = timedelta(minutes=1)
