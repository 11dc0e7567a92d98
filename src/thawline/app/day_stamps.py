"""
What the ledger has of a site's days, gathered for replaying one: stamps, draws, vials.

Only what was stamped there and then tells how long a turn took; what was typed in later says
what happened, and not to the second when.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from thawline.app.passed_places import is_walk_up
from thawline.app.ports import Site
from thawline.base.instants import Instant, from_ms, local_date
from thawline.ledger.entries import Entry, View
from thawline.ledger.events import (
    DoseChecked,
    DoseDrawn,
    DoseGiven,
    DoseNotGiven,
    DoseWasted,
    VialDiscarded,
    VialHeld,
    VialMoved,
    VialPunctured,
    VialsArrived,
    VialSent,
)
from thawline.ledger.observation_events import PersonLeft
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.observe.leaving import stay_for
from thawline.person.fold import PERSON, Booking
from thawline.plan.day_record import Visit
from thawline.plan.service_times import Line, Turn
from thawline.rules.protocol import Stay

THERE_AND_THEN = timedelta(minutes=1)
"""Recorded within so long of happening counts as stamped there and then; our own judgement."""


@dataclass(slots=True)
class Stamps:
    """One person's stamps of one day, the first of each kind, None where there is none."""

    screened: Instant | None = None
    seated: Instant | None = None
    chair: str = ""
    dosed: Instant | None = None
    turned_away: Instant | None = None
    ended: Instant | None = None
    screening: str | None = None
    left: Instant | None = None


@dataclass(slots=True)
class VialTold:
    """One vial's way, the last known of each; None where it did not happen."""

    out_of_freezer: Instant | None = None
    on_table: Instant | None = None
    opened: Instant | None = None
    held: bool = False
    ended: Instant | None = None


@dataclass(slots=True)
class DaysTold:
    """
    Everything gathered.

    Args:
        people: Stamps by day and person.
        draws: By day and table, when doses were drawn.
        drawn: By day, doses drawn (above zero) and taken from the tray (below), with when.
        vials: By code.
    """

    people: dict[date, dict[str, Stamps]] = field(default_factory=dict)
    draws: dict[date, dict[str, list[Instant]]] = field(default_factory=dict)
    drawn: dict[date, list[tuple[Instant, int]]] = field(default_factory=dict)
    vials: dict[str, VialTold] = field(default_factory=dict)


def told(site: Site, view: View, day: date) -> DaysTold:
    """Return what the ledger has of a day and of those before it."""
    reading = _Reading(site)
    for entry in view.counting():
        way = reading.ways.get(type(entry.event))
        if way is not None and local_date(entry.occurred.lo, site.zone) <= day:
            way(entry, entry.event)
    return reading.found


class _Reading:
    """Reads entries, oldest first."""

    def __init__(self, site: Site) -> None:
        self._zone = site.zone
        self.found = DaysTold()
        self.ways: Mapping[type, Callable[[Entry, Any], None]] = {
            ScreeningAnswered: self._screened,
            DoseChecked: self._checked,
            DoseGiven: self._given,
            DoseNotGiven: self._not_given,
            PersonLeft: self._left,
            DoseDrawn: self._drawn,
            DoseWasted: self._wasted,
            VialMoved: self._moved,
            VialsArrived: self._arrived,
            VialPunctured: self._punctured,
            VialHeld: self._held,
            VialDiscarded: self._discarded,
            VialSent: self._sent,
        }

    def _stamps(self, entry: Entry, person: str) -> Stamps:
        day = local_date(entry.occurred.lo, self._zone)
        return self.found.people.setdefault(day, {}).setdefault(person, Stamps())

    def _screened(self, entry: Entry, event: ScreeningAnswered) -> None:
        stamps = self._stamps(entry, event.person)
        if stamps.seated is None:  # asked again at the chair, they were at the chair
            stamps.screened, stamps.screening = entry.occurred.hi, event.outcome

    def _checked(self, entry: Entry, event: DoseChecked) -> None:
        stamps = self._stamps(entry, event.person)
        if stamps.seated is None:
            stamps.seated, stamps.chair = entry.occurred.lo, entry.station or entry.by

    def _given(self, entry: Entry, event: DoseGiven) -> None:
        stamps = self._stamps(entry, event.person)
        if stamps.seated is None:
            stamps.seated, stamps.chair = entry.occurred.lo, entry.station or entry.by
        stamps.dosed = entry.occurred.hi
        stamps.screening = event.screening or stamps.screening
        self._ended(stamps, entry)
        self._take(entry, -1)

    def _not_given(self, entry: Entry, event: DoseNotGiven) -> None:
        stamps = self._stamps(entry, event.person)
        stamps.turned_away = entry.occurred.hi
        self._ended(stamps, entry)

    def _ended(self, stamps: Stamps, entry: Entry) -> None:
        at, typed = entry.occurred, entry.recorded_at
        here = (entry.station or entry.by) == stamps.chair
        if here and at.lo == at.hi and typed - at.hi <= THERE_AND_THEN:
            stamps.ended = at.hi

    def _left(self, entry: Entry, event: PersonLeft) -> None:
        self._stamps(entry, event.person).left = entry.occurred.hi

    def _drawn(self, entry: Entry, event: DoseDrawn) -> None:
        day = local_date(entry.occurred.lo, self._zone)
        tables = self.found.draws.setdefault(day, defaultdict(list))
        tables[entry.station or entry.by].append(entry.occurred.hi)
        self._take(entry, len(event.syringes))

    def _wasted(self, entry: Entry, event: DoseWasted) -> None:
        if event.place.startswith("syringe:"):
            self._take(entry, -event.doses)

    def _take(self, entry: Entry, doses: int) -> None:
        day = local_date(entry.occurred.lo, self._zone)
        self.found.drawn.setdefault(day, []).append((entry.occurred.hi, doses))

    def _vial(self, code: str) -> VialTold:
        return self.found.vials.setdefault(code, VialTold())

    def _moved(self, entry: Entry, event: VialMoved) -> None:
        for code in event.vials:
            vial, at = self._vial(code), entry.occurred.hi
            vial.out_of_freezer = vial.out_of_freezer or at
            vial.on_table = at if event.to == "table" else None
            vial.held = vial.held or bool(event.held) or event.to == "freezer"

    def _arrived(self, entry: Entry, event: VialsArrived) -> None:
        for code in event.vials:
            self._vial(code).out_of_freezer = entry.occurred.hi

    def _punctured(self, entry: Entry, event: VialPunctured) -> None:
        vial = self._vial(event.vial)
        vial.opened = vial.opened or entry.occurred.hi

    def _held(self, _entry: Entry, event: VialHeld) -> None:
        for code in event.vials:
            self._vial(code).held = True

    def _sent(self, entry: Entry, event: VialSent) -> None:
        for code in event.vials:
            self._vial(code).ended = entry.occurred.hi

    def _discarded(self, entry: Entry, event: VialDiscarded) -> None:
        self._vial(event.vial).ended = entry.occurred.hi


def lines(found: DaysTold) -> dict[date, Line]:
    """Return the line for the chairs on each day, the oldest first."""
    return {
        day: Line(
            Turn(each.chair, each.seated, each.ended, each.screened)
            for each in stamped.values()
            if each.seated is not None
        )
        for day, stamped in sorted(found.people.items())
    }


def visits(
    site: Site, view: View, day: date, stamped: Mapping[str, Stamps], stays: Mapping[str, Stay]
) -> tuple[Visit, ...]:
    """
    Return everybody booked for a day or seen on it, by code.

    Args:
        site: Where.
        view: Of its ledger.
        day: Which.
        stamped: The stamps of that day.
        stays: How long people stay after a dose, by the protocol.
    """
    places = dict(_places(site, view, day))
    codes = sorted({*places, *stamped})
    return tuple(
        _visit(site, code, places.get(code), stamped.get(code, Stamps()), stays)
        for code in codes
    )


def _places(site: Site, view: View, day: date) -> Iterable[tuple[str, Booking]]:
    for code, state in view.all(PERSON):
        for booking in state.bookings:
            if local_date(from_ms(booking.slot_ms), site.zone) == day:
                yield code, booking


def _visit(
    site: Site,
    code: str,
    place: Booking | None,
    stamps: Stamps,
    stays: Mapping[str, Stay],
) -> Visit:
    slot = None if place is None else from_ms(place.slot_ms)
    walked_up = place is not None and is_walk_up(place, site)
    stay = stay_for(stamps.screening, stays)
    left = stamps.left
    if left is None and stay is not None and stamps.dosed is not None:
        left = stay.stays.end(stamps.dosed, site.zone)
    return Visit(
        person=code,
        booked=None if walked_up else slot,
        registered=slot if walked_up else None,
        screened=stamps.screened,
        seated=stamps.seated,
        chair=stamps.chair,
        dosed=stamps.dosed,
        turned_away=stamps.turned_away,
        ended=stamps.ended,
        left=left,
    )
