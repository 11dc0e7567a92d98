"""
Tuesday 3 March, 18:00: snow. Quillbeck and Tansy Ferry cannot open on Wednesday, day 28.

Their first doses of Wednesday 4 February are typed in from the cards, one by one; 506 and 394
of these people have a place four weeks later, the others chose another day. Saturday opens
for half a day, Monday in full. 23 of them left neither phone nor mail.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from pathlib import Path
from uuid import UUID

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import seeded_mint
from thawline.adapters.wiring import make_site, open_site
from thawline.app.acts import Doing, second_person
from thawline.app.bookings import load_bookings
from thawline.app.doses import told
from thawline.app.ports import Site
from thawline.app.second_places import Planned, move_places
from thawline.base.instants import exactly, local_instant, zone_named
from thawline.demo.acts import NotAsPlannedError
from thawline.demo.arrivals import HOUR_S, MINUTE_S, Visit, visits
from thawline.demo.clock import MovedClock
from thawline.demo.crew import crew_of
from thawline.demo.district import DAYS, Place, dice, place_named
from thawline.demo.rules_in_use import adopt_shipped
from thawline.exchange.bookings import BookingRow, ReadBookings
from thawline.ledger.events import EarlierDoseTold

FIRST_DOSES = DAYS[2]
CLOSED = date(2026, 3, 4)
EVENING = CLOSED - timedelta(days=1)
SATURDAY, MONDAY = date(2026, 3, 7), date(2026, 3, 9)
BOOKED = {"quillbeck": 506, "tansy-ferry": 394}
"""How many chose day 28 itself, by the story."""
NOT_REACHABLE = {"quillbeck": 13, "tansy-ferry": 10}
_TYPED, _ANNOUNCED = time(8), time(18)
_PIN = "284651"
_HALF = 2


@dataclass(frozen=True, slots=True)
class Moved:
    """One site's move, and whom nobody can reach."""

    site: Site
    title: str
    planned: Planned


def snow_day(home: Path, seed: int, zone: str) -> tuple[Moved, ...]:
    """Build both sites as far as the story needs them, and move their Wednesday."""
    return tuple(_Snow(home, seed, zone, place_named(name)).move() for name in BOOKED)


class _Snow:
    """One site, from the cards of its first doses to the evening before the snow."""

    def __init__(self, home: Path, seed: int, zone: str, place: Place) -> None:
        self._seed, self._place, self._zone = seed, place, zone
        self._crew = crew_of(place.name, seed)
        typed = local_instant(FIRST_DOSES + timedelta(days=1), _TYPED, zone_named(zone))
        self._clock = MovedClock(typed)
        self._mint = seeded_mint(
            self._clock.now, dice(seed, place.name, "snow").getrandbits(32)
        )
        if place.name not in sites.names(home):
            self._make(home)
        self._site = open_site(home, place.name, now=self._clock.now, mint=self._mint)

    def move(self) -> Moved:
        """Return what the move answered."""
        people = self._people()
        for visit in people:
            card = EarlierDoseTold(person=visit.person.code, given_on=FIRST_DOSES.isoformat())
            told(self._site, self._doing(), card)
        self._book(people)
        self._clock.move(local_instant(EVENING, _ANNOUNCED, self._site.zone))
        doing = replace(self._doing(self._crew.lead), why="snow")
        planned = move_places(self._site, doing, CLOSED, self._places())
        return Moved(self._site, self._place.title, planned)

    def _make(self, home: Path) -> None:
        settings = sites.Settings(self._place.name, self._place.title, self._zone, demo=True)
        number = dice(self._seed, self._place.name, "site").getrandbits(128)
        folder = make_site(home, settings, UUID(int=number, version=4))
        FilePins(folder / sites.KEYS).put(self._crew.clinical_lead, _PIN)
        site = open_site(home, self._place.name, now=self._clock.now, mint=self._mint)
        self._site = site
        doing = self._doing(self._crew.coordinator)
        second = second_person(site, doing.by, self._crew.clinical_lead, _PIN)
        adopt_shipped(site, folder, replace(doing, second=second), "example-10-v2")

    def _people(self) -> list[Visit]:
        """Return those who had a first dose and chose day 28, by code."""
        came = [v for v in visits(self._place, FIRST_DOSES, self._seed) if v.outcome != "refer"]
        throws = dice(self._seed, self._place.name, "day 28")
        chosen = throws.sample(came, BOOKED[self._place.name])
        return sorted(chosen, key=lambda visit: visit.person.code)

    def _book(self, people: list[Visit]) -> None:
        throws = dice(self._seed, self._place.name, "no contact")
        silent = set(throws.sample(range(len(people)), NOT_REACHABLE[self._place.name]))
        rows = tuple(
            self._row(line, visit, reachable=line not in silent)
            for line, visit in enumerate(people)
        )
        read = ReadBookings(rows, (), (), "chosen at the first dose", ())
        loaded = load_bookings(self._site, self._doing(self._crew.registrars[0]), read)
        if loaded.booked != len(people):
            raise NotAsPlannedError(f"{self._place.name}: {loaded.bad[:1]}")

    def _row(self, line: int, visit: Visit, *, reachable: bool) -> BookingRow:
        person = visit.person
        at_s = visit.booked_s if visit.booked_s is not None else visit.came_s
        clock = time(at_s // HOUR_S, at_s % HOUR_S // MINUTE_S)
        return BookingRow(
            line=line,
            slot=local_instant(CLOSED, clock, self._site.zone),
            dose_number=2,
            person=person.code,
            name=person.called.whole,
            born=person.born,
            phone=person.phone if reachable else "",
            mail=person.mail if reachable else "",
            language=person.language,
            group=person.group,
            needs=person.needs,
        )

    def _places(self) -> Mapping[date, int]:
        """Half a day's places on Saturday, all of them on Monday."""
        whole = self._place.booked_a_day
        return {SATURDAY: whole // _HALF, MONDAY: whole}

    def _doing(self, by: str = "") -> Doing:
        now = self._clock.now()
        return Doing(
            by=by or self._crew.registrars[0],
            occurred=exactly(now),
            recorded_at=now,
            id=self._site.mint(),
        )
