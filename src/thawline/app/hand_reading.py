"""
A hand reading: what somebody read on a display, or on a thermometer at a table.

At a table outside its range it is a fact of every vial and syringe that may be there, and
holds them, as a vial put on a table of that temperature is held.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from thawline.app.acts import Doing, Outcome, act
from thawline.app.cold import CAUTION, outside_finding
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.app.units import band_of, unit_of
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import from_ms, to_ms, written
from thawline.base.quantities import exact_millicelsius
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.events import ReadingTaken
from thawline.rules.protocol import Band, Protocol
from thawline.store.fold import UNIT, HandRow
from thawline.store.inside import Inside, Kept, Span, Thing, inside
from thawline.store.units import ROOM, StorageUnit
from thawline.vial.folds import CARTON, VIAL
from thawline.vial.leaving import table_finding
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class Display:
    """
    What a person read, in degrees Celsius; least and most are those since the last reset.

    Raises:
        RecordError: No thermometer shows it, or the least is above the most.
    """

    now_c: Decimal
    min_c: Decimal | None = None
    max_c: Decimal | None = None
    reset: bool = False

    def __post_init__(self) -> None:
        for value in (self.now_c, self.min_c, self.max_c):
            if value is not None:
                exact_millicelsius(value)
        low = self.now_c if self.min_c is None else self.min_c
        high = self.now_c if self.max_c is None else self.max_c
        if not low <= self.now_c <= high:
            raise RecordError(
                f"{self.now_c} °C now does not lie between {low} and {high} °C",
                advice="read the display again: least, now, most",
            )

    @property
    def ends_c(self) -> tuple[Decimal, Decimal]:
        """The least and the most of everything that was read."""
        low = self.now_c if self.min_c is None else self.min_c
        return low, self.now_c if self.max_c is None else self.max_c


def record_reading(site: Site, doing: Doing, unit: str, read: Display) -> Outcome:
    """Record a hand reading; a table out of its range holds what may be there."""
    of_unit = unit_of(site, unit)

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        state = view.one(UNIT, unit)
        since = last_reset(state.hand if state else (), to_ms(doing.occurred.lo))
        if of_unit.band == ROOM:
            there = _on_table(site, view, of_unit, _then(doing, rules.protocol, read, since))
            found = [*_table_findings(of_unit, rules.protocol, read, there)]
        else:
            there = []
            band = band_of(of_unit, rules.protocol)
            found = [*_findings(site, of_unit, band, read, since)]
        event = ReadingTaken(
            unit=unit,
            temp_mc=exact_millicelsius(read.now_c),
            min_mc=_mc(read.min_c),
            max_mc=_mc(read.max_c),
            reset=read.reset,
            vials=tuple(each.code for each in there if each.thing is Thing.VIAL),
            syringes=tuple(each.code for each in there if each.thing is Thing.SYRINGE),
        )
        return Decision(event, worst_first(found), rules.ref)

    command: dict[str, Plain] = {
        "command": "cold reading",
        "unit": unit,
        "now_c": str(read.now_c),
        "min_c": None if read.min_c is None else str(read.min_c),
        "max_c": None if read.max_c is None else str(read.max_c),
        "reset": read.reset,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def last_reset(hand: tuple[HandRow, ...], before_ms: int) -> HandRow | None:
    """Return the last reading before a time at which the display was reset, if any was."""
    resets = [row for row in hand if row.reset and row.lo_ms < before_ms]
    return max(resets, key=lambda row: (row.lo_ms, row.seq), default=None)


def kept(view: View) -> Kept:
    """Return everything that the ledger keeps of where things are."""
    cartons = [carton for _, carton in view.all(CARTON)]
    return Kept(list(view.all(VIAL)), cartons, list(view.all(SYRINGE)))


def _then(doing: Doing, protocol: Protocol, read: Display, since: HandRow | None) -> Span:
    """
    Return the time whose vials a table's reading concerns.

    Those that are there now; and where the least or most since the last reset was out of
    range, those that were there at any time since, as nobody knows when it was.
    """
    now = Span(to_ms(doing.occurred.lo), to_ms(doing.occurred.hi))
    if not any(table_finding(end, protocol.bands) for end in (read.min_c, read.max_c)):
        return now
    return Span(0 if since is None else since.lo_ms, now.to_ms)


def _on_table(site: Site, view: View, table: StorageUnit, then: Span) -> list[Inside]:
    """Return the vials and the drawn syringes that may be concerned."""
    found = inside(table, site.units, kept(view), then)
    return [each for each in found if each.thing is Thing.VIAL or each.doses]


def _table_findings(
    table: StorageUnit, protocol: Protocol, read: Display, there: list[Inside]
) -> Iterator[Finding]:
    low, high = read.ends_c
    for end in dict.fromkeys((high, low)):
        held = table_finding(end, protocol.bands)
        if held:
            codes = ", ".join(each.code for each in there) or "nothing by the record"
            says = f"{table.name} was at {end} °C: {codes}: {CAUTION}"
            yield Finding(Level.STOP, held.code, says, held.item)


def _findings(
    site: Site, unit: StorageUnit, band: Band, read: Display, since: HandRow | None
) -> Iterator[Finding]:
    """Yield what a display's values mean; how long it was out is not in them."""
    if not band.low_c <= read.now_c <= band.high_c:
        yield outside_finding(unit, band, f"{read.now_c} °C now, outside {_ends(band)}")
    for name, value in (("least", read.min_c), ("most", read.max_c)):
        if value is not None and not band.low_c <= value <= band.high_c:
            reset = "the last reset" if since is None else f"the reset {_at(site, since)}"
            says = (
                f"{value} °C was the {name} since {reset}, outside {_ends(band)}; at least one "
                "reading out, for how long is not known"
            )
            yield outside_finding(unit, band, says)


def _ends(band: Band) -> str:
    return f"{band.low_c} to {band.high_c} °C"


def _at(site: Site, row: HandRow) -> str:
    return written(from_ms(row.lo_ms), site.zone)


def _mc(value: Decimal | None) -> int | None:
    return None if value is None else exact_millicelsius(value)
