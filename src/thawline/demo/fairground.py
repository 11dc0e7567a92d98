"""
Thursday 01:00 to 02:55 at Tansy Ferry: a logger's gap before a warm spell, 46 vials.

The generator stops in the night; the logger loses its own supply at once and has it back before
the refrigerator does. It is read when somebody fetches its file, at 03:50, and the vials are
moved and held.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import UUID

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import seeded_mint
from thawline.adapters.wiring import make_site, open_site
from thawline.app import vials
from thawline.app.acts import second_person
from thawline.app.excursions import hold_exposed
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import Instant, midnight_before, zone_named
from thawline.demo.acts import FREEZER, NotAsPlannedError, Player
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.clock import MovedClock
from thawline.demo.cold_model import REFRIGERATOR, Happening, What, readings_of
from thawline.demo.cold_store import Logger, Watch, after, held_says, settle
from thawline.demo.crew import Crew, crew_of
from thawline.demo.district import DAYS, Place, dice, place_named
from thawline.demo.rules_in_use import adopt_shipped
from thawline.draw.trace import Trace
from thawline.ledger.events import VialHeld, VialMoved
from thawline.receive.inspection import Arrival
from thawline.store.time_out import Totals
from thawline.store.units import Followed, StorageUnit

THURSDAY = DAYS[3]
HELD = 46
_LOT, _EXPIRY = "ZZ-1041", "2026-08"
UNITS = (
    StorageUnit(FREEZER, "frozen", Followed.BY_HAND, None, "Freezer 1"),
    StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND, None, "Refrigerator 1"),
    StorageUnit(
        "fridge-2", "refrigerator", Followed.AT_DOWNLOAD, Decimal("0.5"), "Refrigerator 2"
    ),
)
_TENT_C = 26.0
_EVERY_S = 5 * MINUTE_S
_EVENING_S = -2 * HOUR_S
_STOPS_S = HOUR_S + 2 * MINUTE_S
_LOGGER_BACK_S = 2 * HOUR_S + 52 * MINUTE_S
_READ_S = 3 * HOUR_S + 50 * MINUTE_S
_RECEIVED_S = -10 * HOUR_S
_CHILLED_S = -7 * HOUR_S
_PIN = "284651"


@dataclass(frozen=True, slots=True)
class Fairground:
    """What the use cases answered at Tansy Ferry."""

    place: Place
    day: date
    watch: Watch
    above: Totals
    vials: tuple[str, ...]
    held_at: Instant
    trace: Trace


def fairground(home: Path, seed: int, zone: str) -> Fairground:
    """Make the site's folder and play its night."""
    return _Night(home, seed, zone).play()


class _Night:
    """Tansy Ferry, from Wednesday afternoon to the early morning."""

    def __init__(self, home: Path, seed: int, zone: str) -> None:
        self._home, self._seed = home, seed
        self._place = place_named("tansy-ferry")
        self._crew: Crew = crew_of(self._place.name, seed)
        settings = sites.Settings(self._place.name, self._place.title, zone, demo=True)
        site_id = UUID(int=dice(seed, self._place.name, "site").getrandbits(128), version=4)
        self._folder = make_site(home, settings, site_id)
        settle(self._folder, UNITS, self._crew)
        self._midnight = midnight_before(THURSDAY, zone_named(zone))
        self._clock = MovedClock(after(self._midnight, _RECEIVED_S))
        mint = seeded_mint(self._clock.now, dice(seed, self._place.name, "ids").getrandbits(32))
        self._site = open_site(home, self._place.name, now=self._clock.now, mint=mint)
        self._player = Player(self._site, self._clock, self._midnight)

    def play(self) -> Fairground:
        """Return what came of the night."""
        self._adopt()
        codes = self._chill()
        watch = Watch(self._site, self._home, self._logger(), self._crew.coordinator)
        self._clock.move(after(self._midnight, _READ_S))
        watch.arrives(_READ_S)
        found = watch.looked_at()
        says = held_says(len(codes))
        held_at = self._clock.now()
        self._hold(codes)
        return Fairground(
            place=self._place,
            day=THURSDAY,
            watch=watch,
            above=found.exposure.above,
            vials=codes,
            held_at=held_at,
            trace=watch.picture(says),
        )

    def _adopt(self) -> None:
        FilePins(self._folder / sites.KEYS).put(self._crew.clinical_lead, _PIN)
        doing = self._player.doing(self._crew.coordinator)
        second = second_person(self._site, doing.by, self._crew.clinical_lead, _PIN)
        adopt_shipped(self._site, self._folder, replace(doing, second=second), "example-10-v2")

    def _chill(self) -> tuple[str, ...]:
        """Receive the vials, and take them to refrigerator 2 for the day to come."""
        by = self._crew.coordinator
        seen = Arrival(HELD, HELD, Decimal("-21.5"))
        label = Label(_LOT, _EXPIRY)
        receive_frozen(self._site, self._player.doing(by), label, FREEZER, seen)
        self._clock.move(after(self._midnight, _CHILLED_S))
        done = vials.take_out(
            self._site,
            self._player.doing(by),
            _LOT,
            FREEZER,
            HELD,
            "fridge",
            goes_into="fridge-2",
        )
        assert isinstance(done.event, VialMoved)  # noqa: S101  what `take_out` records
        return done.event.vials

    def _hold(self, codes: tuple[str, ...]) -> None:
        """Hold what was in the refrigerator, and carry it to the other one."""
        by = self._crew.coordinator
        doing = self._player.doing(by, why="refrigerator 2: logger gap, then above 8 °C")
        outcome, _ = hold_exposed(self._site, doing, "fridge-2", None, None)
        assert isinstance(outcome.event, VialHeld)  # noqa: S101  what `hold_exposed` records
        if set(outcome.event.vials) != set(codes):
            raise NotAsPlannedError(f"held were {outcome.event.vials}")
        self._clock.move(Instant(self._clock.now() + timedelta(minutes=3)))
        vials.move(self._site, self._player.doing(by), codes, "fridge", unit="fridge-1")

    def _logger(self) -> Logger:
        happenings = [
            Happening(What.DOOR, -HOUR_S, -HOUR_S + 90),
            Happening(What.NO_POWER, _STOPS_S, 6 * HOUR_S),
            Happening(What.NO_LOGGER, _STOPS_S, _LOGGER_BACK_S),
        ]
        throws = dice(self._seed, self._place.name, "refrigerator night")
        times = range(_EVENING_S, _READ_S + 1, _EVERY_S)
        return Logger(
            unit=UNITS[2],
            place=self._place.title,
            midnight=self._midnight,
            every_s=_EVERY_S,
            seen=readings_of(REFRIGERATOR, _TENT_C, happenings, times, throws),
            layout="comma-decimals",
            high_c=8.0,
        )
