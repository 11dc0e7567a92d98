"""Vials that stand alike, as one row; and what carrying them would start."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from thawline.app.standings import Stood, if_done, if_taken_out
from thawline.base.instants import Instant, from_ms
from thawline.thaw.moves import move_findings
from thawline.vial.facts import CartonState, on_table
from thawline.vial.folds import CARTON, LOT
from thawline.vial.reckon import Reckoning, State
from thawline.vial.story import What
from thawline.web.around import Around
from thawline.web.kept import kept_a_second

_ALONE = {State.OPEN, State.HELD}
_ANY = from_ms(0)
"""Stands for an end that nobody knows, among others of which nobody does."""


@dataclass(frozen=True, slots=True)
class Batch:
    """
    Vials of one lot in one state with one use-by, in one place.

    Args:
        vials: One or more, by code.
        to_table: What carrying them to the table now would make of each; None: they may not go.
        to_fridge: The same for the refrigerator.
    """

    vials: tuple[Stood, ...]
    to_table: Reckoning | None
    to_fridge: Reckoning | None

    @property
    def first(self) -> Stood:
        """Return the first of them, which stands for all."""
        return self.vials[0]

    @property
    def codes(self) -> str:
        """Return their codes as the form of a carry takes them."""
        return " ".join(each.code for each in self.vials)


@dataclass(frozen=True, slots=True)
class Sealed:
    """A lot's sealed cartons in one unit, and what taking a vial out now would start."""

    carton: CartonState
    to_fridge: Reckoning
    to_table: Reckoning


def in_order(found: Iterable[Stood]) -> list[Stood]:
    """Return vials by their use-by, the earliest first; not known comes last."""
    return sorted(found, key=_turn)


def _turn(each: Stood) -> tuple[bool, Instant, str]:
    use_by = each.reckoning.use_by
    return (use_by is None, use_by or _ANY, each.code)


def batches(round_: Around, found: Iterable[Stood]) -> Iterator[Batch]:
    """Yield vials in the order of their use-by, alike ones together."""
    alike: dict[tuple[object, ...], list[Stood]] = {}
    for each in in_order(found):
        alike.setdefault(_likeness(each), []).append(each)
    for vials in alike.values():
        yield Batch(
            tuple(vials),
            _carried(round_, vials[0], "table", What.TO_TABLE),
            _carried(round_, vials[0], "fridge", What.TO_FRIDGE),
        )


def _likeness(each: Stood) -> tuple[object, ...]:
    vial, now = each.vial, each.reckoning
    alone = each.code if now.state in _ALONE or vial.drawn else ""
    return (now.use_by, now.state, vial.lot, now.ready_at, vial.station, vial.left, alone)


def _carried(round_: Around, each: Stood, to: str, what: What) -> Reckoning | None:
    """Return what a move would make of a vial; None where it is there or may not go."""
    now, there = each.reckoning, on_table(each.vial)
    if now.state in _ALONE or there is (to == "table"):
        return None
    protocol = round_.rules.protocol
    if any(True for _ in move_findings(each.code, now, to, protocol, on_table=there)):
        return None

    def ask() -> Reckoning:
        return if_done(round_.view, round_.rules, each, what, round_.at)

    about = (round_.rules.ref, round_.view.one(LOT, each.vial.lot), each)
    return kept_a_second(f"{what} {each.code}", about, round_.at, ask)


def sealed(round_: Around) -> list[Sealed]:
    """Return the sealed cartons that hold vials, with what taking one out would start."""
    found = [state for _, state in round_.view.all(CARTON) if state.vials > 0]
    return [
        Sealed(
            each,
            _out(round_, each, What.TO_FRIDGE, round_.at),
            _out(round_, each, What.TO_TABLE, round_.at),
        )
        for each in found
        if each.expiry is not None
    ]


def _out(round_: Around, carton: CartonState, what: What, at: Instant) -> Reckoning:

    def ask() -> Reckoning:
        return if_taken_out(round_.site, round_.view, carton, what, at)

    about = (round_.rules.ref, round_.view.one(LOT, carton.lot), carton)
    return kept_a_second(f"{what} {carton.unit} {carton.lot}", about, at, ask)
