"""
Tuesday 3 February at Oddmoor Library, to 16:52: the last vial.

A small site: two chairs, one draw table, one open vial at a time. From the last bookings of the
afternoon to 17:00 nobody is due; then a few people are booked for the last hour, and the open
vial holds fewer doses than may be needed. What to do about it is computed from the ledger.
"""

from collections import deque
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from itertools import repeat
from pathlib import Path
from random import Random
from uuid import UUID

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import seeded_mint
from thawline.adapters.tables import read_bytes, read_table
from thawline.adapters.whole_files import write_picture
from thawline.adapters.wiring import make_site, open_site
from thawline.app.acts import second_person
from thawline.app.bookings import load_bookings
from thawline.app.in_force import in_force
from thawline.app.last_vial import Ask, Opening, opening_now
from thawline.app.plans import Ask as PlanAsk
from thawline.app.plans import plan_for_site
from thawline.app.ports import Site
from thawline.app.receiving import Label, receive_frozen
from thawline.base.instants import midnight_before, zone_named
from thawline.demo import lots
from thawline.demo.acts import FREEZER, Player
from thawline.demo.arrivals import DOORS_OPEN_S, HOUR_S, MINUTE_S, Visit, visits
from thawline.demo.booking_file import write_bookings
from thawline.demo.clock import MovedClock
from thawline.demo.cold_store import after, settle
from thawline.demo.crew import crew_of
from thawline.demo.district import TUESDAY, Place, dice, place_named
from thawline.demo.encounters import Chairs
from thawline.demo.folder import LAST_VIAL, LIBRARY_BOOKINGS
from thawline.demo.hall import Happens, Seat
from thawline.demo.people import standby_names
from thawline.demo.rules_in_use import adopt_shipped
from thawline.demo.script import BookWalkUp, JoinStandby, LeaveWithout, Step, in_order
from thawline.demo.tables import DrawTable, Fridge
from thawline.draw.dots import Days, dots_svg
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser
from thawline.plan.no_show import by_hand
from thawline.plan.opening import Prices
from thawline.receive.inspection import Arrival
from thawline.store.units import Followed, StorageUnit

ASKED_S = 16 * HOUR_S + 52 * MINUTE_S
CHANGES_MIND_S = 14 * HOUR_S + 20 * MINUTE_S
"""Somebody changes their mind at the chair; their syringe is for the next person."""
PERSON_PRICE, WAIT_PRICE = 5.0, 0.25
"""In doses: a person asked back, and five minutes of waiting; the site lead's words."""
NAMES = 8
UNITS = (
    StorageUnit(FREEZER, "frozen", Followed.BY_HAND, None, "Freezer 1"),
    StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND, None, "Refrigerator 1"),
)
_CHAIRS = (1, 2)
_SAME_CHAIR_S = (170, 230)
_TRAVEL_MIN = (5, 20)
_MONDAY_15_S, _MONDAY_16_S = -9 * HOUR_S, -8 * HOUR_S
_EVENING_BEFORE_S = -7 * HOUR_S
_FIRST_TABLE_S = DOORS_OPEN_S - 30 * MINUTE_S
_AHEAD_S = 25 * MINUTE_S  # how far ahead the preparer looks when bringing a vial
_SPARE = 3  # vials thawed beyond the plan, which knows of no walk-ups
_PIN = "284651"
_NO_SHOW, _SERVICE = 0.07, 0.95


@dataclass(frozen=True, slots=True, eq=False)
class Library:
    """What the use cases answered at Oddmoor."""

    place: Place
    day: date
    site: Site
    opening: Opening


def library(home: Path, seed: int, zone: str) -> Library:
    """Make the site's folder, play its Tuesday to 16:52, and ask about the last vial."""
    return _Tuesday(home, seed, zone).play()


class _Tuesday:
    """Oddmoor, from Monday afternoon to the question about the last vial."""

    def __init__(self, home: Path, seed: int, zone: str) -> None:
        self._home, self._seed = home, seed
        self._place = place_named("oddmoor")
        self._crew = crew_of(self._place.name, seed)
        settings = sites.Settings(self._place.name, self._place.title, zone, demo=True)
        site_id = UUID(int=dice(seed, self._place.name, "site").getrandbits(128), version=4)
        self._folder = make_site(home, settings, site_id)
        settle(self._folder, UNITS, self._crew)
        self._midnight = midnight_before(TUESDAY, zone_named(zone))
        self._clock = MovedClock(after(self._midnight, _MONDAY_15_S))
        mint = seeded_mint(self._clock.now, dice(seed, self._place.name, "ids").getrandbits(32))
        self._site = open_site(home, self._place.name, now=self._clock.now, mint=mint)
        self._player = Player(self._site, self._clock, self._midnight)

    def play(self) -> Library:
        """Return what the record says at 16:52."""
        self._adopt()
        self._receive()
        for step in self._steps(self._booked()):
            if step.at_s >= ASKED_S:
                break
            self._player.play(step)
        self._clock.move(after(self._midnight, ASKED_S))
        prices = Prices(1.0, PERSON_PRICE, WAIT_PRICE)
        opening = opening_now(self._site, Ask(self._clock.now(), prices, walk_ups_an_hour=0.0))
        self._picture(opening)
        return Library(self._place, TUESDAY, self._site, opening)

    def _adopt(self) -> None:
        FilePins(self._folder / sites.KEYS).put(self._crew.clinical_lead, _PIN)
        doing = self._player.doing(self._crew.coordinator)
        second = second_person(self._site, doing.by, self._crew.clinical_lead, _PIN)
        adopt_shipped(self._site, self._folder, replace(doing, second=second), "example-10-v2")

    def _receive(self) -> None:
        for cartons in lots.in_freezer(self._place):
            doing = self._player.doing(self._crew.coordinator)
            seen = Arrival(cartons.vials, cartons.vials, Decimal("-21.5"))
            receive_frozen(self._site, doing, Label(cartons.lot, cartons.expiry), FREEZER, seen)

    def _booked(self) -> int:
        """Load the desk's list; return how many vials the thaw plan wants."""
        self._clock.move(after(self._midnight, _MONDAY_16_S))
        path = self._home / LIBRARY_BOOKINGS
        write_bookings(path, self._place, TUESDAY, self._seed)
        table = read_table(read_bytes(str(path)), recogniser({}))
        read = read_bookings(table, self._site.zone, Choices())
        load_bookings(self._site, self._player.doing(self._crew.registrars[0]), read)
        ask = PlanAsk(self._clock.now(), TUESDAY, _SERVICE, by_hand(_NO_SHOW))
        return plan_for_site(self._site, ask).plan.planned_vials

    def _steps(self, vials: int) -> tuple[Step, ...]:
        with self._site.ledger.view() as view:
            rules = in_force(self._site, view, self._midnight).protocol
        stands_s = round(rules.thaw.refrigerator.then_room.longest().total_seconds())
        script: list[Step] = []
        fridge = Fridge(
            self._crew.coordinator,
            rules.product.doses_per_vial.value,
            stands_s,
            self._short,
            script,
        )
        table = DrawTable(
            1,
            self._crew.at_table(1),
            tuple(each.lot for each in lots.in_freezer(self._place)),
            fridge,
            script,
            draws_ahead=False,
        )
        left = vials + _SPARE
        for cartons in lots.in_freezer(self._place):
            taken = min(left, cartons.vials)
            fridge.take_out(cartons.lot, taken, _EVENING_BEFORE_S)
            left -= taken
        script += self._standby()
        self._people(table, script)
        return in_order(script)

    def _short(self, lot: str, number: int) -> int | None:
        return lots.doses_in(lot, number, self._place, TUESDAY, self._seed)

    def _standby(self) -> list[Step]:
        """Return those who put their names on the standby list in the morning."""
        throws = dice(self._seed, self._place.name, TUESDAY, "standby ways")
        names = standby_names(self._place, TUESDAY, self._seed, NAMES)
        return [
            JoinStandby(
                at_s=DOORS_OPEN_S + (number + 1) * 25 * MINUTE_S,
                by=self._crew.registrars[0],
                station="front desk",
                person=person,
                travel_min=throws.randint(*_TRAVEL_MIN),
            )
            for number, person in enumerate(names)
        ]

    def _people(self, table: DrawTable, script: list[Step]) -> None:
        """Write everybody who comes, and the vials brought as they will be needed."""
        throws = dice(self._seed, self._place.name, TUESDAY, "chairs")
        chairs = Chairs(self._crew, dict.fromkeys(_CHAIRS, table), throws, script)
        seats = self._seats(throws, script)
        table.bring(1, _FIRST_TABLE_S)
        for number, seat in enumerate(seats):
            soon = sum(each.at_s <= seat.at_s + _AHEAD_S for each in seats[number:])
            if table.in_hand() < soon:
                table.bring(1, seat.at_s - table.fridge.stands_s)
            changes = seat.at_s >= CHANGES_MIND_S > seats[number - 1].at_s
            chairs.sit(replace(seat, happens=Happens.CHANGES_MIND) if changes else seat)

    def _seats(self, throws: Random, script: list[Step]) -> list[Seat]:
        """Return who sits where and when, in the order in which people are ready."""
        free = deque(sorted((DOORS_OPEN_S, chair) for chair in _CHAIRS))
        lengths_s = (throws.randint(*_SAME_CHAIR_S) for _ in repeat(None))
        found = []
        for visit in visits(self._place, TUESDAY, self._seed):
            self._desk(visit, script)
            if visit.outcome == "refer":
                continue
            free_s, chair = free.popleft()
            at_s = max(free_s, visit.ready_s)
            found.append(Seat(visit, chair, at_s))
            free = deque(sorted([*free, (at_s + next(lengths_s), chair)]))
        return found

    def _desk(self, visit: Visit, script: list[Step]) -> None:
        person = visit.person
        if visit.booked_s is None:
            by, station = self._crew.registrars[0], "front desk"
            script.append(BookWalkUp(at_s=visit.came_s, by=by, station=station, person=person))
        if visit.outcome == "refer":
            script.append(
                LeaveWithout(
                    at_s=visit.ready_s,
                    by=self._crew.screeners[0],
                    station="screening",
                    person=person.code,
                    why="screening: refer",
                )
            )

    def _picture(self, opening: Opening) -> None:
        if opening.last is None:
            return
        hours = opening.last.hours
        days = Days(
            title="Open another vial? Oddmoor Library, 16:52",
            come=[each + hours.waiting for each in opening.last.days],
            in_hand=hours.in_hand,
            says="20 equally likely days, exact, nothing drawn by lot",
            demo=True,
        )
        write_picture(str(self._home / LAST_VIAL), dots_svg(days))
