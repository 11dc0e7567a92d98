"""
Builds the demo: the site's folder, the protocol, the shipment, the bookings, then the day.

Everything goes through the use cases that a person would use, at the time of the story.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import UUID

from thawline.adapters import rehearsal, rule_files, sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import seeded_mint
from thawline.adapters.tables import read_bytes, read_table
from thawline.adapters.wiring import make_site, open_site
from thawline.app.acts import second_person
from thawline.app.bookings import Loaded, load_bookings
from thawline.app.in_force import in_force
from thawline.app.plans import Ask, Planned, plan_for_site
from thawline.app.ports import Site
from thawline.app.protocols import Checked, check_file
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import Instant, midnight_before, zone_named
from thawline.demo import lots
from thawline.demo.acts import FREEZER, Player, Seen
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.booking_file import write_bookings
from thawline.demo.clock import MovedClock
from thawline.demo.closing import Closed, close
from thawline.demo.cold_store import settle
from thawline.demo.crew import Crew, crew_of
from thawline.demo.district import PLACES, TUESDAY, ZONE, Place, dice
from thawline.demo.fairground import Fairground, fairground
from thawline.demo.folder import BOOKINGS, PAPER, make_anew, note_seed
from thawline.demo.freezer_night import UNITS, WARMS, FreezerNight, Hall, freezer_night
from thawline.demo.hot_hall import HotHall, hot_hall, type_sheet
from thawline.demo.incidents import DRAFT
from thawline.demo.library import Library, library
from thawline.demo.lunch_dip import LunchDip, lunch_dip
from thawline.demo.paper import OnPaper, early_on_paper
from thawline.demo.rules_in_use import adopt_shipped
from thawline.demo.snow import Moved, snow_day
from thawline.demo.team_file import write_team
from thawline.demo.tuesday import Told, tuesday
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser
from thawline.plan.no_show import by_hand
from thawline.receive.inspection import Arrival

Progress = Callable[[int, int], None]
"""Is told how many acts are done, of how many."""

NO_SHOW, SERVICE = 0.07, 0.95
_VERSIONS = ("example-10-v1", "example-10-v2")
_DAY_S = 24 * HOUR_S
_SUNDAY_18_S = -2 * _DAY_S + 18 * HOUR_S
_SUNDAY_20_S = -2 * _DAY_S + 20 * HOUR_S
_MONDAY_15_S = -_DAY_S + 15 * HOUR_S
_MONDAY_16_S = -_DAY_S + 16 * HOUR_S
_ON_ARRIVAL_C = Decimal("-21.5")
_PIN_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Built:
    """The demo, built: the site, and what the use cases answered on the way."""

    home: Path
    seed: int
    place: Place
    day: date
    site: Site
    crew: Crew
    draft: Checked
    loaded: Loaded
    planned: Planned
    seen: Seen
    closed: Closed
    freezer_night: FreezerNight
    fairground: Fairground
    library: Library
    snow: tuple[Moved, ...]
    lunch: LunchDip
    hot_hall: HotHall
    paper: OnPaper


def build(home: Path, seed: int, progress: Progress, zone: str = ZONE) -> Built:
    """
    Build the demo in a folder and return it.

    Raises:
        RecordError: The folder holds something that is not a demo's.
    """
    make_anew(home)
    note_seed(home, seed)
    return _Building(home, seed, zone, progress).build()


def build_until(home: Path, seed: int, wall_s: int, progress: Progress) -> Instant:
    """
    Build the demo's hall until a time of the Tuesday; its present goes on from there.

    The rest of the day is for whoever rehearses it. Returns the moment of the hand-over.

    Raises:
        RecordError: The folder holds something that is not a demo's.
    """
    make_anew(home)
    note_seed(home, seed)
    return _Building(home, seed, ZONE, progress).build_until(wall_s)


class _Building:
    """A demo on its way from an empty folder to a closed day."""

    def __init__(self, home: Path, seed: int, zone: str, progress: Progress) -> None:
        self._home, self._seed, self._progress = home, seed, progress
        self._place, self._day, self._zone = PLACES[0], TUESDAY, zone
        self._crew = crew_of(self._place.name, seed)
        settings = sites.Settings(self._place.name, self._place.title, zone, demo=True)
        site_id = UUID(int=dice(seed, self._place.name, "site").getrandbits(128), version=4)
        self._folder = make_site(home, settings, site_id)
        settle(self._folder, UNITS, self._crew)
        write_team(self._folder, self._place.name, self._day, seed)
        here = zone_named(zone)
        self._midnight = midnight_before(self._day, here)
        self._clock = MovedClock(self._at(_SUNDAY_18_S))
        mint = seeded_mint(self._clock.now, seed)
        self._site = open_site(home, self._place.name, now=self._clock.now, mint=mint)
        self._player = Player(self._site, self._clock, self._midnight)
        self._pins: dict[str, str] = {}

    def build_until(self, wall_s: int) -> Instant:
        """Return the moment at which a rehearsal takes the day over."""
        self._eve()
        self._play(self._plan(), wall_s)
        over = self._at(wall_s)
        rehearsal.move(self._folder, over)
        return over

    def _eve(self) -> tuple[Checked, FreezerNight, Loaded]:
        """Play everything until the evening before."""
        self._give_pins()
        for name in _VERSIONS:
            self._adopt(name)
        self._receive(_SUNDAY_18_S + 10 * MINUTE_S, WARMS)
        draft = self._check_draft()
        night = self._freezer_night()
        self._receive(_MONDAY_15_S, FREEZER)
        return draft, night, self._load_bookings()

    def build(self) -> Built:
        """Return the demo, played to its end."""
        draft, night, loaded = self._eve()
        planned = self._plan()
        self._play(planned)
        type_sheet(self._site, self._seed, self._at(0))
        closed = close(self._site, self._player, self._clock, self._crew, self._pins)
        return Built(
            home=self._home,
            seed=self._seed,
            place=self._place,
            day=self._day,
            site=self._site,
            crew=self._crew,
            draft=draft,
            loaded=loaded,
            planned=planned,
            seen=self._player.seen,
            closed=closed,
            freezer_night=night,
            fairground=fairground(self._home, self._seed, self._zone),
            library=library(self._home, self._seed, self._zone),
            snow=snow_day(self._home, self._seed, self._zone),
            lunch=lunch_dip(self._site, self._day),
            hot_hall=hot_hall(self._home, self._site, self._seed, self._zone),
            paper=early_on_paper(self._home / PAPER, self._seed, self._zone),
        )

    def _at(self, at_s: int) -> Instant:
        return Instant(self._midnight + timedelta(seconds=at_s))

    def _give_pins(self) -> None:
        """Give a PIN to those who are the second person of an act."""
        throws = dice(self._seed, "pins")
        kept = FilePins(self._folder / sites.KEYS)
        for name in (self._crew.coordinator, self._crew.clinical_lead):
            pin = "".join(map(str, throws.sample(range(10), _PIN_DIGITS)))
            kept.put(name, pin)
            self._pins[name] = pin

    def _adopt(self, name: str) -> None:
        """Take a shipped version into use, by two people; one with a slip would be refused."""
        lead = self._crew.clinical_lead
        doing = self._player.doing(self._crew.coordinator)
        second = second_person(self._site, doing.by, lead, self._pins[lead])
        adopt_shipped(self._site, self._folder, replace(doing, second=second), name)

    def _check_draft(self) -> Checked:
        """Look at what was meant to be version 3, on Sunday evening."""
        self._clock.move(self._at(_SUNDAY_20_S))
        return check_file(rule_files.shipped(DRAFT), rule_files.references())

    def _freezer_night(self) -> FreezerNight:
        """Play Monday's night, in which the vials that came on Sunday are spoiled."""
        hall = Hall(
            site=self._site,
            home=self._home,
            place=self._place,
            player=self._player,
            clock=self._clock,
            crew=self._crew,
            midnight=self._at(-_DAY_S),
            seed=self._seed,
        )
        return freezer_night(hall)

    def _receive(self, from_s: int, freezer: str) -> None:
        """Receive what the freezer holds for one day; on Monday in place of the spoiled."""
        for number, cartons in enumerate(lots.in_freezer(self._place)):
            self._clock.move(self._at(from_s + number * 2 * MINUTE_S))
            seen = Arrival(cartons.vials, cartons.vials, _ON_ARRIVAL_C)
            label = Label(cartons.lot, cartons.expiry)
            doing = self._player.doing(self._crew.coordinator)
            receive_frozen(self._site, doing, label, freezer, seen)

    def _load_bookings(self) -> Loaded:
        """Write the desk's list and load it, as anybody would load theirs."""
        self._clock.move(self._at(_MONDAY_16_S))
        path = self._home / BOOKINGS
        write_bookings(path, self._place, self._day, self._seed)
        table = read_table(read_bytes(str(path)), recogniser({}))
        read = read_bookings(table, self._site.zone, Choices())
        return load_bookings(self._site, self._player.doing(self._crew.registrars[0]), read)

    def _plan(self) -> Planned:
        now = self._clock.now()
        return plan_for_site(self._site, Ask(now, self._day, SERVICE, by_hand(NO_SHOW)))

    def _play(self, planned: Planned, until_s: int = _DAY_S) -> None:
        """Play the script until a time; the crew thaws as many vials as the plan says."""
        with self._site.ledger.view() as view:
            rules = in_force(self._site, view, self._at(0)).protocol
        told = Told(
            place=self._place,
            day=self._day,
            seed=self._seed,
            vials=planned.plan.planned_vials,
            doses_a_vial=rules.product.doses_per_vial.value,
            stands_s=round(rules.thaw.refrigerator.then_room.longest().total_seconds()),
        )
        steps = [step for step in tuesday(told, self._crew) if step.at_s < until_s]
        before = self._place.booked_a_day
        for number, step in enumerate(steps, 1):
            self._player.play(step)
            self._progress(before + number, before + len(steps))
