"""What one draw table sees: the vial to draw from, what may be opened next, what lies there."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from thawline.app.drawn import Lying
from thawline.app.standings import Stood, if_opened
from thawline.app.supposed import entry_at
from thawline.base.findings import Finding
from thawline.base.instants import Instant
from thawline.base.stations import same_station
from thawline.prepare.one_table import OpenHere, lot_of_table, table_findings, vial_of
from thawline.prepare.opening import next_ones
from thawline.vial.expiry import read_expiry
from thawline.vial.reckon import State
from thawline.vial.story import What
from thawline.web.around import Around

_NEXT_SHOWN = 4


@dataclass(frozen=True, slots=True)
class DrawTable:
    """
    One table.

    Args:
        drawing: The vial to draw from; None: none is open here.
        by: Who opened it.
        opening: The vial to open next; None: none may be.
        opens_until: The use-by that opening it now would give it.
        empty: The vial that was emptied last, by the book; a full dose more may be in it.
        held: Held vials here that still matter.
        others: What comes next, ready or warming.
        syringes: Drawn here or scanned here last, and neither given nor wasted.
        findings: What is mixed here.
    """

    drawing: Stood | None
    by: str
    opening: Stood | None
    opens_until: Instant | None
    empty: Stood | None
    held: tuple[Stood, ...]
    others: tuple[Stood, ...]
    syringes: tuple[Lying, ...]
    findings: tuple[Finding, ...]

    @property
    def may_open_own(self) -> bool:
        """Say whether a vial stands open that is somebody else's, and another may be opened."""
        return self.drawing is not None and self.opening is not None


def at_table(round_: Around, station: str, preparer: str) -> DrawTable:
    """Return what a table draws from: its own vials where it has a name, else all."""
    near = _near(round_.stands, station)
    opened = [each for each in _in_turn(near, State.OPEN) if each.vial.left > 0]
    standing = [OpenHere(each.code, each.vial.lot, _opener(round_, each)) for each in opened]
    drawing = _coded(opened, vial_of(standing, preparer))
    ready = [e for e in _in_turn(near, State.READY) if e.reckoning.may_be_opened(round_.at)]
    opening = _next_to_open(ready, standing, preparer)
    warming = [each for each in near if each.reckoning.state is State.WARMING]
    others = [each for each in (*opened, *ready, *warming) if each is not drawing]
    syringes = [each for each in round_.lying if _is_at(station, each.station)]
    return DrawTable(
        drawing=drawing,
        by=next((e.by for e in standing if drawing and e.vial == drawing.code), ""),
        opening=opening,
        opens_until=_would_end(round_, opening),
        empty=_emptied_last(round_, near),
        held=tuple(each for each in near if _is_held(each, syringes)),
        others=tuple(others[:_NEXT_SHOWN]),
        syringes=tuple(syringes),
        findings=tuple(table_findings(standing)),
    )


def _near(stands: Sequence[Stood], table: str) -> list[Stood]:
    """Return the vials at a table; of the same few places hundreds of vials are."""
    places = {each.vial.station for each in stands}
    here = {place for place in places if _is_at(table, place)}
    return [each for each in stands if each.vial.station in here]


def _is_at(table: str, station: str) -> bool:
    """Say whether something lies at a table; at one without a name everything does."""
    return not table or same_station(table, station)


def _in_turn(found: Iterable[Stood], state: State) -> list[Stood]:
    """Return the usable vials in a state, the one to use first at the front."""
    by_code = {each.code: each for each in found if each.reckoning.state is state}
    turn = next_ones(
        (code, each.reckoning, read_expiry(each.vial.expiry) if each.vial.expiry else None)
        for code, each in by_code.items()
    )
    return [by_code[code] for code in turn]


def _coded(found: Sequence[Stood], code: str | None) -> Stood | None:
    return next((each for each in found if each.code == code), None)


def _opener(round_: Around, each: Stood) -> str:
    """Return who opened a vial, as the entry of its opening says."""
    opened = next((row for row in each.vial.rows if row.what is What.OPEN), None)
    return "" if opened is None else entry_at(round_.view, opened.seq).by


def _next_to_open(
    ready: Sequence[Stood], standing: Sequence[OpenHere], preparer: str
) -> Stood | None:
    """Return the next vial of the table's lot, while the preparer has none open."""
    if any(each.by == preparer for each in standing):
        return None
    lot = lot_of_table(standing)
    return next((each for each in ready if lot in {None, each.vial.lot}), None)


def _would_end(round_: Around, each: Stood | None) -> Instant | None:
    if each is None:
        return None
    return if_opened(round_.view, round_.rules, each, round_.at).use_by


def _emptied_last(round_: Around, near: Sequence[Stood]) -> Stood | None:
    """Return the vial opened last that is empty by the book and may hold a full dose more."""
    counted = round_.rules.protocol.product.doses_per_vial
    most = counted.most or counted.value
    found = [
        each
        for each in near
        if each.reckoning.state is State.OPEN and each.reckoning.usable
        if each.vial.left <= 0 and each.vial.drawn < most
    ]
    return max(found, key=lambda each: each.vial.rows[-1].seq, default=None)


def _is_held(each: Stood, syringes: Iterable[Lying]) -> bool:
    if each.reckoning.state is not State.HELD:
        return False
    return each.vial.left > 0 or any(one.vial == each.code for one in syringes)
