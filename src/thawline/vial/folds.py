"""
How entries become the states of vials, lots and sealed cartons.

Each fold is a table from event to step; an event that is not in the table touches nothing.
A step only writes down what happened: what it means is reckoned when somebody asks.
"""

from collections.abc import Callable
from functools import partial
from typing import Any

from msgspec.structs import replace

from thawline.ledger import events as ev
from thawline.ledger.entries import Entry
from thawline.ledger.trip_events import TripEnded
from thawline.vial.facts import CartonState, LotState, Row, VialState, Waste
from thawline.vial.story import What

_MOVES = {"fridge": What.TO_FRIDGE, "table": What.TO_TABLE, "freezer": What.TO_FREEZER}


def row(entry: Entry, what: What, **more: Any) -> Row:
    """Return a fact row of the entry, at the times it occurred."""
    return Row(entry.seq, what, entry.lo_ms, entry.hi_ms, **more)


class VialFold:
    """Entries to `VialState`, keyed by the vial's code."""

    name = "vial"
    state_type = VialState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset(_VIALS)

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the codes of the vials this event touches."""
        named = _VIALS.get(type(event), _none)(event)
        return tuple(dict.fromkeys(named)) if named[1:] else named

    def step(self, key: str, state: VialState | None, entry: Entry) -> VialState:
        """Return the vial's state after the entry."""
        if state is None:
            state = _NEW[type(entry.event)](entry, entry.event)
        return _VIAL_STEPS[type(entry.event)](state, entry, entry.event, key)


VIAL = VialFold()


class LotFold:
    """Entries to `LotState`, keyed by the lot as printed."""

    name = "lot"
    state_type = LotState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset(_OF_A_LOT)

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the lot of an event that holds, releases, receives or codes one."""
        return (event.lot,) if isinstance(event, _OF_A_LOT) else ()

    def step(self, key: str, state: LotState | None, entry: Entry) -> LotState:  # noqa: ARG002
        """Return the lot's state after the entry."""
        lot, event = state or LotState(), entry.event
        if isinstance(event, ev.LotHeld):
            return replace(lot, rows=(*lot.rows, row(entry, What.HOLD, why=event.why)))
        if isinstance(event, ev.LotReleased):
            return replace(lot, rows=(*lot.rows, row(entry, What.RELEASE, why=event.why)))
        coded = getattr(event, "vials", 0)
        vials = coded if isinstance(coded, tuple) else ()
        known = (*lot.vials, *(code for code in vials if code not in lot.vials))
        return replace(lot, expiry=getattr(event, "expiry", lot.expiry), vials=known)


LOT = LotFold()

_OF_A_LOT = (
    ev.LotHeld,
    ev.LotReleased,
    ev.ShipmentArrived,
    ev.VialsArrived,
    ev.VialMoved,
)


class CartonFold:
    """Entries to `CartonState`, keyed by storage unit and lot."""

    name = "carton"
    state_type = CartonState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset(_CARTON_STEPS)

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the carton that an event fills, empties or warms."""
        if isinstance(event, ev.ShipmentArrived):
            return (carton_key(event.unit, event.lot),)
        if isinstance(event, ev.VialMoved) and event.from_unit is not None:
            return (carton_key(event.from_unit, event.lot),)
        if isinstance(event, ev.UnitWarmed):
            return tuple(carton_key(event.unit, lot) for lot in event.lots)
        return event.cartons if isinstance(event, ev.VialHeld | ev.VialReleased) else ()

    def step(self, key: str, state: CartonState | None, entry: Entry) -> CartonState:
        """Return the carton's state after the entry."""
        unit, _, lot = key.partition("|")
        before = state or CartonState(unit, lot, None, 0, 0)
        return _CARTON_STEPS[type(entry.event)](before, entry, entry.event)


CARTON = CartonFold()


def carton_key(unit: str, lot: str) -> str:
    """Return the fold's key of a lot in a storage unit."""
    return f"{unit}|{lot}"


def _filled(carton: CartonState, entry: Entry, event: ev.ShipmentArrived) -> CartonState:
    soft = (What.HOLD, What.WARMED) if event.soft else ()
    return replace(
        carton,
        expiry=event.expiry,
        doses_per_vial=carton.doses_per_vial or event.doses_per_vial,
        vials=carton.vials + event.vials,
        rows=(*carton.rows, *(row(entry, what, why="soft on arrival") for what in soft)),
        fills=(*carton.fills, row(entry, What.ARRIVE)),
    )


def _opened(carton: CartonState, _entry: Entry, event: ev.VialMoved) -> CartonState:
    return replace(
        carton,
        expiry=carton.expiry or event.expiry,
        doses_per_vial=carton.doses_per_vial or event.doses,
        vials=carton.vials - len(event.vials),
    )


def _said(what: What, carton: CartonState, entry: Entry, event: Any) -> CartonState:
    """Return the carton with one more fact of this kind, and why where the event says so."""
    return replace(carton, rows=(*carton.rows, row(entry, what, why=getattr(event, "why", ""))))


_CARTON_STEPS: dict[type[ev.Event], Callable[[CartonState, Entry, Any], CartonState]] = {
    ev.ShipmentArrived: _filled,
    ev.VialMoved: _opened,
    ev.UnitWarmed: partial(_said, What.WARMED),
    ev.VialHeld: partial(_said, What.HOLD),
    ev.VialReleased: partial(_said, What.RELEASE),
}


def _moved(vial: VialState, entry: Entry, event: ev.VialMoved, _key: str) -> VialState:
    moved = row(entry, _MOVES[event.to], room_mc=event.room_mc, unit=_went_into(entry, event))
    since = event.soft_since_ms
    soft = () if since is None else (Row(entry.seq, What.WARMED, since, since),)
    held = (row(entry, What.HOLD, why=event.held),) if event.held else ()
    return replace(vial, rows=(*vial.rows, *soft, moved, *held), station=entry.station)


def _went_into(entry: Entry, event: ev.VialMoved) -> str:
    """Return where the vials went; a table that is not named is the one they are scanned at."""
    return event.unit or (entry.station if event.to == "table" else "")


def _fact(what: What, vial: VialState, entry: Entry, event: Any, _key: str) -> VialState:
    """Return the vial with one more fact of this kind, and why where the event says so."""
    said = row(entry, what, why=getattr(event, "why", ""))
    return replace(vial, rows=(*vial.rows, said))


def _held(vial: VialState, entry: Entry, event: ev.VialHeld, key: str) -> VialState:
    coldest = event.coldest_mc if key in event.refrozen else None
    said = row(entry, What.HOLD, why=event.why, room_mc=coldest)
    return replace(vial, rows=(*vial.rows, said))


def _room_read(vial: VialState, entry: Entry, event: ev.ReadingTaken, _key: str) -> VialState:
    return replace(vial, rows=(*vial.rows, *room_rows(entry, event)))


def room_rows(entry: Entry, event: ev.ReadingTaken) -> tuple[Row, ...]:
    """Return the warmest and coldest that a table was read at, as facts of what was there."""
    read = [mc for mc in (event.temp_mc, event.min_mc, event.max_mc) if mc is not None]
    ends = dict.fromkeys((max(read), min(read)))
    return tuple(row(entry, What.ROOM_READ, room_mc=end) for end in ends)


def _drawn(vial: VialState, entry: Entry, event: ev.DoseDrawn, _key: str) -> VialState:
    count = len(event.syringes)
    return replace(
        vial,
        rows=(*vial.rows, row(entry, What.DRAW, doses=count, extra=event.extra)),
        doses=vial.doses + event.extra,
        drawn=vial.drawn + count,
        syringes=vial.syringes + count,
        station=entry.station or vial.station,
    )


def _given(vial: VialState, entry: Entry, _event: ev.DoseGiven, _key: str) -> VialState:
    """Return the vial after a dose drawn and given in one go, at the chair."""
    rows = (*vial.rows, row(entry, What.DRAW, doses=1))
    return replace(vial, rows=rows, drawn=vial.drawn + 1)


def _wasted(vial: VialState, entry: Entry, event: Any, _key: str) -> VialState:
    return replace(vial, wastes=(*vial.wastes, _waste(entry, event.doses)))


def _waste(entry: Entry, doses: int) -> Waste:
    return Waste(entry.lo_ms, doses)


def _discarded(vial: VialState, entry: Entry, event: ev.VialDiscarded, _key: str) -> VialState:
    ended = row(entry, What.DISCARD, why=event.cause)
    wastes = (*vial.wastes, _waste(entry, event.doses))
    return replace(vial, rows=(*vial.rows, ended), wastes=wastes)


def _sent(vial: VialState, entry: Entry, event: ev.VialSent, _key: str) -> VialState:
    left = row(entry, What.TRANSPORT_START, by=event.by_mode)
    return replace(vial, rows=(*vial.rows, left), sent_to=event.to_site)


def _arrived(vial: VialState, entry: Entry, event: ev.VialsArrived, _key: str) -> VialState:
    came = row(
        entry,
        What.ARRIVE,
        chilled=True,
        thawed_lo_ms=event.thawed_lo_ms,
        thawed_hi_ms=event.thawed_hi_ms,
        room_used_min=event.room_used_min,
        transport_used_min=event.transport_used_min,
        trips_used=event.trips_used,
        unit=event.unit,
    )
    held = (row(entry, What.HOLD, why=event.held),) if event.held else ()
    return replace(vial, rows=(*vial.rows, came, *held), sent_to=None)


_VIAL_STEPS: dict[type[ev.Event], Callable[[VialState, Entry, Any, str], VialState]] = {
    ev.VialMoved: _moved,
    ev.VialsArrived: _arrived,
    ev.UnitWarmed: partial(_fact, What.WARMED),
    ev.VialFlagged: partial(_fact, What.FLAG),
    ev.VialPunctured: partial(_fact, What.OPEN),
    ev.VialHeld: _held,
    ev.VialReleased: partial(_fact, What.RELEASE),
    ev.ReadingTaken: _room_read,
    ev.DoseDrawn: _drawn,
    ev.DoseGiven: _given,
    ev.DoseWasted: _wasted,
    ev.DoseNotFound: _wasted,
    ev.VialDiscarded: _discarded,
    ev.VialSent: _sent,
    TripEnded: partial(_fact, What.TRANSPORT_END),
}


def _none(_event: Any) -> tuple[str, ...]:
    return ()


def _one(event: Any) -> tuple[str, ...]:
    return (event.vial,)


def _at_place(event: Any) -> tuple[str, ...]:
    return _vial_at(event.place)


def _vial_at(place: str) -> tuple[str, ...]:
    kind, _, code = place.partition(":")
    return (code,) if kind == "vial" else ()


_VIALS: dict[type[ev.Event], Callable[[Any], tuple[str, ...]]] = {
    **dict.fromkeys(_VIAL_STEPS, lambda event: event.vials),
    **dict.fromkeys((ev.VialPunctured, ev.DoseDrawn, ev.VialDiscarded), _one),
    **dict.fromkeys((ev.DoseWasted, ev.DoseNotFound), _at_place),
    ev.DoseGiven: lambda event: _vial_at(event.doses_from or ""),
}


def _from_carton(entry: Entry, event: ev.VialMoved) -> VialState:
    unit = event.from_unit
    return VialState(event.lot, event.expiry, entry.zone, event.doses, (), from_unit=unit)


def _from_outside(entry: Entry, event: ev.VialsArrived) -> VialState:
    return VialState(event.lot, event.expiry, entry.zone, event.doses, ())


def _unheard_of(entry: Entry, event: Any) -> VialState:
    """Return a vial that a fact speaks of before anything else did: nothing of it is known."""
    lot = getattr(event, "lot", None) or "?"
    return VialState(lot, None, entry.zone, 0, ())


_NEW: dict[type[ev.Event], Callable[[Entry, Any], VialState]] = {
    **dict.fromkeys(_VIAL_STEPS, _unheard_of),
    ev.VialMoved: _from_carton,
    ev.VialsArrived: _from_outside,
}
