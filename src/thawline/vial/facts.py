"""
The state of a vial, a lot and a carton in the ledger: their facts, as small rows.

A row is a fact of a story with the sequence number of its entry, so that the facts of a vial
and of its lot can be put back into the order in which they were written down.
"""

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import Instant, Occurred, from_ms, to_ms, zone_named
from thawline.vial.expiry import read_expiry
from thawline.vial.story import Fact, History, Story, What


class Row(Struct, frozen=True, omit_defaults=True):
    """One fact; times in milliseconds of UTC, temperature in thousandths of a degree."""

    seq: int
    what: What
    lo_ms: int
    hi_ms: int
    doses: int = 0
    by: str | None = None
    room_mc: int | None = None
    why: str = ""
    chilled: bool = False
    thawed_lo_ms: int | None = None
    thawed_hi_ms: int | None = None
    room_used_min: int | None = None
    transport_used_min: int | None = None
    trips_used: int | None = None
    extra: int = 0  # of the doses drawn, those that the book did not hold
    unit: str = ""  # where a move put it: the storage unit or the table; empty: not said


class Waste(Struct, frozen=True):
    """Doses wasted out of a vial, or not found in it, and when."""

    lo_ms: int
    doses: int


class VialState(Struct, frozen=True, omit_defaults=True):
    """A vial that has a code. `doses` is what it held by the book at first, and extra ones."""

    lot: str
    expiry: str | None
    zone: str
    doses: int
    rows: tuple[Row, ...]
    drawn: int = 0
    syringes: int = 0
    wastes: tuple[Waste, ...] = ()
    station: str = ""
    sent_to: str | None = None
    from_unit: str | None = None  # where its carton stood; None: it came with a code

    @property
    def left(self) -> int:
        """Doses it still holds by the book; below zero after an extra dose."""
        return self.doses - self.drawn - sum(waste.doses for waste in self.wastes)


class LotState(Struct, frozen=True, omit_defaults=True):
    """A lot: its holds and releases, its expiry as printed, and its vials that have codes."""

    rows: tuple[Row, ...] = ()
    expiry: str | None = None
    vials: tuple[str, ...] = ()


class CartonState(Struct, frozen=True, omit_defaults=True):
    """Sealed cartons of one lot in one storage unit, counted in vials; no vial has a code."""

    unit: str
    lot: str
    expiry: str | None  # None: nothing said so yet
    vials: int
    doses_per_vial: int
    rows: tuple[Row, ...] = ()
    fills: tuple[Row, ...] = ()  # when cartons came into it

    @property
    def soft_since_ms(self) -> int | None:
        """By when its vials may have begun to thaw; None while nothing says so."""
        return min((row.lo_ms for row in self.rows if row.what is What.WARMED), default=None)


class SyringeState(Struct, frozen=True, omit_defaults=True):
    """A drawn syringe: whose dose it is, where it was last seen and what became of it."""

    vial: str | None
    lot: str
    drawn_lo_ms: int
    drawn_hi_ms: int
    by: str
    station: str
    became: str = "drawn"  # drawn, given, wasted, missing
    person: str | None = None
    ready_drawn: bool = False
    use_by_ms: int | None = None
    rows: tuple[Row, ...] = ()
    seen: tuple[Row, ...] = ()  # at which table or chair, in the order written
    ended: Row | None = None  # given, wasted or not found


def story_of(vial: VialState, lot: LotState | None) -> Story:
    """Return the vial's story with the holds of its lot in their place."""
    own = [(row.seq, fact_of(row)) for row in vial.rows]
    shared = [(row.seq, fact_of(row, of_lot=True)) for row in lot.rows] if lot else []
    in_turn = sorted([*own, *shared], key=lambda each: each[0])
    return Story(
        lot=vial.lot,
        last_day=None if vial.expiry is None else read_expiry(vial.expiry),
        zone=zone_named(vial.zone),
        facts=tuple(fact for _, fact in in_turn),
    )


def fact_of(row: Row, *, of_lot: bool = False) -> Fact:
    """Return the fact that a row stands for."""
    return Fact(
        what=row.what,
        when=Occurred(from_ms(row.lo_ms), from_ms(row.hi_ms)),
        doses=row.doses,
        by=row.by,
        room_c=None if row.room_mc is None else Decimal(row.room_mc) / 1000,
        why=row.why,
        history=_history(row) if row.chilled else None,
        of_lot=of_lot,
    )


def _history(row: Row) -> History:
    thawed = None
    if row.thawed_lo_ms is not None and row.thawed_hi_ms is not None:
        thawed = Occurred(from_ms(row.thawed_lo_ms), from_ms(row.thawed_hi_ms))
    return History(
        thawed, _minutes(row.room_used_min), _minutes(row.transport_used_min), row.trips_used
    )


def _minutes(count: int | None) -> timedelta | None:
    return None if count is None else timedelta(minutes=count)


def on_table(vial: VialState) -> bool:
    """Say whether the last move that was written down put the vial on the table."""
    moves = [row.what for row in vial.rows if row.what in _PLACES]
    return bool(moves) and moves[-1] is What.TO_TABLE


_PLACES = {What.TO_TABLE, What.TO_FRIDGE, What.TO_FREEZER, What.ARRIVE}


def as_of(vial: VialState, at: Instant) -> VialState | None:
    """Return the vial as it was at an earlier moment; None before anything is known of it."""
    moment = to_ms(at)
    rows = tuple(row for row in vial.rows if row.lo_ms <= moment)
    if not rows:
        return None
    later = [row for row in vial.rows if row.lo_ms > moment and row.what is What.DRAW]
    return replace(
        vial,
        rows=rows,
        doses=vial.doses - sum(row.extra for row in later),
        drawn=vial.drawn - sum(row.doses for row in later),
        wastes=tuple(waste for waste in vial.wastes if waste.lo_ms <= moment),
        sent_to=vial.sent_to if _sent(rows) else None,
    )


def _sent(rows: Sequence[Row]) -> bool:
    carried = [row.what for row in rows if row.what in (What.TRANSPORT_START, What.ARRIVE)]
    return bool(carried) and carried[-1] is What.TRANSPORT_START


def was_opened(vial: VialState) -> bool:
    """Say whether a needle has been in the vial, held or not."""
    return any(row.what in (What.OPEN, What.DRAW) for row in vial.rows)
