"""
A clinic day as far as it is known before: who is booked, the stations, who serves, the vials.

Whatever cannot be is refused here, by name, before anything is played. See
docs/background/clinic-day.md.
"""

import math
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from thawline.base.errors import RecordError
from thawline.plan.chairs import Stay
from thawline.plan.quantile_tables import Law

MOST_PEOPLE = 100_000  # a technical limit on the people of a day
MOST_SERVERS = 1_000  # and on those who serve at a station
_SPARE = 12  # standard deviations of room for walk-ups; more come once in 1e30 days
_ROOM = 50
_EXACT = 1e-9


@dataclass(frozen=True, slots=True)
class Vials:
    """
    Vials at one shared draw table.

    Args:
        doses: In a vial.
        life: How long an opened vial may be used; at its end the rest is wasted.
        ready: When each thawed vial is ready, counted from opening; None: there is always one.
    """

    doses: int
    life: timedelta
    ready: tuple[timedelta, ...] | None = None

    def __post_init__(self) -> None:
        if self.doses < 1:
            raise RecordError(f"{self.doses} doses in a vial", advice="1 or more")
        if self.life <= timedelta(0):
            raise RecordError(
                f"an opened vial that lasts {self.life.total_seconds():g} s",
                advice="more than 0",
            )
        if self.ready is not None and list(self.ready) != sorted(self.ready):
            raise RecordError("vials ready out of order", advice="write them in order of time")


class Line(StrEnum):
    """Who passes a station."""

    EVERYBODY = "everybody"
    BOOKED = "booked"
    WALK_UPS = "walk-ups"


_APART = (Line.BOOKED, Line.WALK_UPS)


@dataclass(frozen=True, slots=True)
class ClinicStation:
    """
    One station.

    Args:
        name: As it is shown.
        service: How long one turn takes.
        servers: People serving in each half hour from opening on; the last one goes on until
            the end. Who has somebody in hand at the end of a shift finishes first.
        together: People taken in one turn (a group briefing); 1: one by one.
        gather: How long the first of a group waits for the others at most.
        vials: Where doses are taken from, if they are taken here.
        line: Who passes it.
    """

    name: str
    service: Law
    servers: tuple[int, ...]
    together: int = 1
    gather: timedelta = timedelta(0)
    vials: Vials | None = None
    line: Line = Line.EVERYBODY

    def __post_init__(self) -> None:
        if not self.servers or self.servers[-1] == 0:
            raise RecordError(
                f"{self.name}: nobody serves at the end of the day",
                advice="somebody must be there until the last person is served",
            )
        for many in self.servers:
            if not 0 <= many <= MOST_SERVERS:
                raise RecordError(f"{self.name}: {many} serving", advice=f"0 to {MOST_SERVERS}")
        if self.together < 1 or self.gather < timedelta(0):
            raise RecordError(
                f"{self.name}: groups of {self.together} within {self.gather}",
                advice="groups of 1 or more, and a time of 0 or more",
            )
        if self.vials and self.together > 1:
            raise RecordError(
                f"{self.name}: doses for a whole group at once", advice="give them one by one"
            )
        if self.vials and self.line is not Line.EVERYBODY:
            raise RecordError(
                f"{self.name}: doses for {self.line} alone", advice="give them further on"
            )

    @property
    def is_plain(self) -> bool:
        """Say whether as many serve all day, one by one, and doses are not counted."""
        return len(set(self.servers)) == self.together == 1 and self.vials is None


@dataclass(frozen=True, slots=True)
class ClinicDay:
    """
    One clinic day, as far as it is known before.

    Args:
        bookings: People booked for the beginning of each slot, the first one at opening.
        slot: Length of a slot.
        no_show: Chance (0 to 1) that a booked person does not come.
        punctuality: How late booked people come; below zero is early. Nobody enters before
            opening.
        stations: In the order in which people pass them. The first two may be a desk for
            booked people and one for walk-ups, side by side.
        stays: How long people stay in the observation area.
        walk_ups: Mean number of people without a booking in each slot; empty: none.
    """

    bookings: tuple[int, ...]
    slot: timedelta
    no_show: float
    punctuality: Law
    stations: tuple[ClinicStation, ...]
    stays: tuple[Stay, ...]
    walk_ups: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not self.stations:
            raise RecordError("a day without stations", advice="name at least one")
        if sum(station.vials is not None for station in self.stations) > 1:
            raise RecordError("doses are taken at two stations", advice="name one of them")
        if not self.stays or abs(sum(s.share for s in self.stays) - 1) > _EXACT:
            raise RecordError("the shares of the stays are not 100 %", advice="make them 100 %")
        lines = tuple(station.line for station in self.stations)
        if set(lines) != {Line.EVERYBODY} and (
            lines[:2] != _APART or set(lines[2:]) - {Line.EVERYBODY}
        ):
            raise RecordError(
                f"stations for {', '.join(lines)}",
                advice="one desk for booked, then one for walk-ups, and all else for everybody",
            )
        self._check_comers()

    def _check_comers(self) -> None:
        if not self.bookings or self.slot <= timedelta(0):
            raise RecordError("a day without slots", advice="give bookings by slots")
        if not 0 <= self.no_show < 1:
            raise RecordError(
                f"a no-show of {self.no_show:.0%}", advice="0 % or more, below 100 %"
            )
        if min(self.bookings) < 0 or any(not 0 <= w < math.inf for w in self.walk_ups):
            raise RecordError("fewer than no people in a slot", advice="write 0 or more")
        if len(self.walk_ups) not in (0, len(self.bookings)):
            raise RecordError(
                f"walk-ups of {len(self.walk_ups)} slots, bookings of {len(self.bookings)}",
                advice="give both for the same slots",
            )
        if self.most_people > MOST_PEOPLE:
            raise RecordError(
                f"{self.most_people} people in a day", advice=f"up to {MOST_PEOPLE}"
            )

    @property
    def most_people(self) -> int:
        """Return the room for people that a day needs; more will not come in 1e30 days."""
        mean = sum(self.walk_ups)
        extra = math.ceil(mean + _SPARE * math.sqrt(mean)) + _ROOM if mean else 0
        return sum(self.bookings) + extra

    @property
    def is_plain(self) -> bool:
        """Say whether the plain path is enough."""
        return not self.is_split and all(station.is_plain for station in self.stations)

    @property
    def is_split(self) -> bool:
        """Say whether walk-ups have a desk of their own."""
        return self.stations[0].line is Line.BOOKED
