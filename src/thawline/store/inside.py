"""
Which vials, cartons and syringes were in a storage unit or on a table, and when.

From the moves on record. Where a time or a place is not known exactly, a thing *may* have been
inside from the earliest to the latest that any reading of the record allows, and was *surely*
inside only where every reading has it there. Worked through in docs/background/vials-inside.md.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from thawline.store.units import FROZEN, REFRIGERATOR, ROOM, StorageUnit
from thawline.vial.facts import CartonState, Row, SyringeState, VialState
from thawline.vial.story import What

_BAND_OF_A_MOVE = {
    What.TO_FREEZER: FROZEN,
    What.TO_FRIDGE: REFRIGERATOR,
    What.ARRIVE: REFRIGERATOR,  # a row of a vial is a chilled arrival
    What.TO_TABLE: ROOM,
}
_ENDS = {*_BAND_OF_A_MOVE, What.TRANSPORT_START, What.DISCARD}


class Thing(StrEnum):
    """What can be inside."""

    VIAL = "vial"
    CARTON = "carton"  # sealed vials of one lot that have no codes yet
    SYRINGE = "syringe"


@dataclass(frozen=True, slots=True)
class Stay:
    """
    A time at one place; ms of UTC. May be there from `from_lo` and, but for `until_hi`, still.

    Args:
        unit: As the record names it; empty: not said.
        band: What sort of place it is: frozen, refrigerator or room.
        from_lo: The earliest that it can have come.
        from_hi: The latest.
        until_lo: The earliest that it can have left; None: it is still there.
        until_hi: The latest; None: it may still be there.
    """

    unit: str
    band: str
    from_lo: int
    from_hi: int
    until_lo: int | None = None
    until_hi: int | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """From one instant to another, in ms of UTC."""

    from_ms: int
    to_ms: int

    @property
    def length_ms(self) -> int:
        """How long it is."""
        return self.to_ms - self.from_ms


@dataclass(frozen=True, slots=True)
class Inside:
    """
    A thing that may have been in a unit during a time.

    Args:
        thing: A vial, the sealed vials of a lot, or a syringe.
        code: Of the vial or syringe; of a carton its lot.
        lot: As printed.
        vials: How many; 0 for a syringe.
        doses: That it holds by the book now.
        may: The times it may have been inside, cut to what was asked.
        surely: Those it certainly was; empty where nobody said which unit.
        unit: Of a carton the freezer it is on record in, which the site may not have named.
    """

    thing: Thing
    code: str
    lot: str
    vials: int
    doses: int
    may: tuple[Span, ...]
    surely: tuple[Span, ...]
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Kept:
    """Everything that a site's ledger keeps of where things are, by code."""

    vials: Sequence[tuple[str, VialState]]
    cartons: Sequence[CartonState]
    syringes: Sequence[tuple[str, SyringeState]]


def inside(
    unit: StorageUnit, units: Iterable[StorageUnit], kept: Kept, asked: Span
) -> list[Inside]:
    """
    Return what may have been in a unit at any moment of a time, vials first.

    Args:
        unit: The one that is asked about.
        units: All that the site has named; a place that is none of them may be any of its
            sort.
        kept: The states of everything.
        asked: The time; an instant is a time without length.
    """
    known = {each.name for each in units}
    fills = {(each.unit, each.lot): each.fills for each in kept.cartons}
    every = [*_vials(kept, fills), *_cartons(kept), *_syringes(kept)]
    found = (_at(unit, known, each, stays, asked) for each, stays in every)
    return [each for each in found if each.may]


def vial_stays(vial: VialState, fills: Sequence[Row] = ()) -> list[Stay]:
    """Return where a vial was, first in its carton; `fills`: when that carton was filled."""
    rows = [row for row in vial.rows if row.what in _ENDS]
    stays = [_stay(row, rows) for row in rows if row.what in _BAND_OF_A_MOVE]
    return [*_in_carton(vial, rows, fills), *stays]


def _stay(row: Row, rows: Sequence[Row]) -> Stay:
    others = [other for other in rows if other is not row]
    leaving = [other.lo_ms for other in others if not _certainly_after(row, other)]
    left = [other.hi_ms for other in others if _certainly_after(other, row)]
    return Stay(
        unit=row.unit,
        band=_BAND_OF_A_MOVE[row.what],
        from_lo=row.lo_ms,
        from_hi=row.hi_ms,
        until_lo=min(leaving, default=None),
        until_hi=min(left, default=None),
    )


def _certainly_after(later: Row, earlier: Row) -> bool:
    """Say whether no reading of the times puts `later` before `earlier`."""
    start, end = later.lo_ms, earlier.hi_ms
    return start > end or (start == end and later.seq > earlier.seq)


def _in_carton(vial: VialState, rows: Sequence[Row], fills: Sequence[Row]) -> Iterator[Stay]:
    """Yield the vial's time in its sealed carton: of several shipments it may be of any."""
    if vial.from_unit is None or not rows:
        return
    out_lo, out_hi = min(row.lo_ms for row in rows), min(row.hi_ms for row in rows)
    before = [fill for fill in fills if fill.lo_ms <= out_hi]
    came = before or [rows[0]]
    yield Stay(
        unit=vial.from_unit,
        band=FROZEN,
        from_lo=min(fill.lo_ms for fill in came),
        from_hi=max(fill.hi_ms for fill in came),
        until_lo=out_lo,
        until_hi=out_hi,
    )


def carton_stays(carton: CartonState) -> list[Stay]:
    """Return where the vials are that are sealed still: some may have come with any filling."""
    if carton.vials <= 0 or not carton.fills:
        return []
    came = min(fill.lo_ms for fill in carton.fills), max(fill.hi_ms for fill in carton.fills)
    return [Stay(carton.unit, FROZEN, *came)]


def syringe_stays(syringe: SyringeState) -> list[Stay]:
    """Return at which tables a drawn syringe lay, until it was given, wasted or not found."""
    ended = () if syringe.ended is None else (syringe.ended,)
    rows = [*syringe.seen, *ended]
    return [_stay(row, rows) for row in syringe.seen]


def _vials(
    kept: Kept, fills: dict[tuple[str, str], tuple[Row, ...]]
) -> Iterator[tuple[Inside, list[Stay]]]:
    for code, vial in kept.vials:
        doses = max(vial.left, 0) if vial.sent_to is None else 0
        here = Inside(Thing.VIAL, code, vial.lot, 1, doses, (), ())
        yield here, vial_stays(vial, fills.get((vial.from_unit or "", vial.lot), ()))


def _cartons(kept: Kept) -> Iterator[tuple[Inside, list[Stay]]]:
    for carton in kept.cartons:
        doses = carton.vials * carton.doses_per_vial
        count = carton.vials
        here = Inside(Thing.CARTON, carton.lot, carton.lot, count, doses, (), (), carton.unit)
        yield here, carton_stays(carton)


def _syringes(kept: Kept) -> Iterator[tuple[Inside, list[Stay]]]:
    for code, syringe in kept.syringes:
        doses = int(syringe.became == "drawn")
        here = Inside(Thing.SYRINGE, code, syringe.lot, 0, doses, (), ())
        yield here, syringe_stays(syringe)


def _at(
    unit: StorageUnit, known: set[str], thing: Inside, stays: Iterable[Stay], asked: Span
) -> Inside:
    """Return the thing with its times in the unit, cut to what was asked."""
    may: list[Span] = []
    surely: list[Span] = []
    for stay in stays:
        here = stay.unit == unit.name
        somewhere = stay.unit not in known and stay.band == unit.band
        if here or somewhere:
            may += _cut(asked, stay.from_lo, stay.until_hi)
        if here:
            surely += _cut(asked, stay.from_hi, stay.until_lo)
    return replace(thing, may=tuple(may), surely=tuple(surely))


def _cut(asked: Span, from_ms: int, until_ms: int | None) -> list[Span]:
    """Return what of a stay lies in the time asked; of an instant, whether it was then."""
    start = max(from_ms, asked.from_ms)
    end = asked.to_ms if until_ms is None else min(until_ms, asked.to_ms)
    return [Span(start, end)] if start <= end else []
