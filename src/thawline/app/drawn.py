"""Syringes that are drawn and neither given nor wasted: where they lie, and until when."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

from thawline.app.in_force import InForce
from thawline.app.standings import stood_for_syringes
from thawline.base.findings import has_stop
from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import View
from thawline.vial.facts import SyringeState, fact_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.reckon import Reckoning, State
from thawline.vial.syringes import SYRINGE

LIES = "drawn"


@dataclass(frozen=True, slots=True)
class Lying:
    """
    A drawn syringe.

    Args:
        syringe: Its code.
        vial: That it was drawn from; None: it came drawn.
        lot: As printed.
        station: Where it was scanned last; empty: nowhere.
        drawn: When, at the latest.
        use_by: As its vial's; None: nobody knows.
        held: Nobody may use it, and nobody may discard it.
        usable: It may be given.
    """

    syringe: str
    vial: str | None
    lot: str
    station: str
    drawn: Instant
    use_by: Instant | None
    held: bool
    usable: bool


def lying(
    view: View, rules: InForce, at: Instant, known: Callable[[str], Reckoning] | None = None
) -> tuple[Lying, ...]:
    """
    Return every drawn syringe, the one to use first at the front; held ones before all.

    `known` returns a vial as its syringes see it, where somebody reckons vials already.
    """
    reckon = known or (lambda vial: stood_for_syringes(view, rules, vial, at).reckoning)
    lies = _lying(view, rules, at, cache(reckon))
    found = sorted(lies, key=lambda each: (each.drawn, each.syringe))
    found.sort(key=lambda each: (not each.held, each.use_by is None, each.use_by or at))
    return tuple(found)


def _lying(
    view: View, rules: InForce, at: Instant, reckon: Callable[[str], Reckoning]
) -> Iterator[Lying]:
    for code, syringe in view.all(SYRINGE):
        if syringe.became != LIES:
            continue
        vial = None if syringe.ready_drawn else syringe.vial
        if vial is not None and view.one(VIAL, vial) is not None:
            yield _of_vial(code, syringe, reckon(vial), rules)
        else:
            yield _by_itself(view, code, syringe, rules, at)


def _of_vial(code: str, syringe: SyringeState, vial: Reckoning, rules: InForce) -> Lying:
    held = vial.state is State.HELD or _is_held(syringe, rules)
    return _shown(code, syringe, vial.use_by, held=held, usable=vial.usable and not held)


def _by_itself(
    view: View, code: str, syringe: SyringeState, rules: InForce, at: Instant
) -> Lying:
    lot = view.one(LOT, syringe.lot)
    of_lot = [fact_of(row, of_lot=True) for row in lot.rows] if lot else []
    held = _is_held(syringe, rules) or has_stop(holds(of_lot, rules.protocol.bands))
    use_by = None if syringe.use_by_ms is None else from_ms(syringe.use_by_ms)
    usable = not held and use_by is not None and at < use_by
    return _shown(code, syringe, use_by, held=held, usable=usable)


def _is_held(syringe: SyringeState, rules: InForce) -> bool:
    return bool(holds([fact_of(row) for row in syringe.rows], rules.protocol.bands))


def _shown(
    code: str, syringe: SyringeState, use_by: Instant | None, *, held: bool, usable: bool
) -> Lying:
    return Lying(
        syringe=code,
        vial=syringe.vial,
        lot=syringe.lot,
        station=syringe.station,
        drawn=from_ms(syringe.drawn_hi_ms),
        use_by=use_by,
        held=held,
        usable=usable,
    )
