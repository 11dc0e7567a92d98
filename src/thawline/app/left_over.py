"""What is left of a day in vials and syringes: which vials are open, and what is held."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from thawline.app.in_force import InForce, in_force
from thawline.app.ports import Site
from thawline.app.standings import Stood, all_stood, stood_for_syringes
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.vial.facts import SyringeState, fact_of, was_opened
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.reckon import Reckoning, State
from thawline.vial.syringes import SYRINGE


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Codes: the vials that were opened and not discarded; the vials and syringes held."""

    opened: frozenset[str]
    held: frozenset[str]


@dataclass(frozen=True, slots=True, eq=False)
class Reckonings:
    """
    What somebody reckoned already, of the view that is looked at.

    Args:
        stands: The vials as they stand then.
        for_syringes: Reckons a vial as the syringes drawn from it see it.
    """

    stands: Sequence[Stood]
    for_syringes: Callable[[str], Reckoning]


def left_over(site: Site, view: View, at: Instant, known: Reckonings | None = None) -> LeftOver:
    """Return which vials are open then, and which vials and drawn syringes are held."""
    rules = in_force(site, view, at)
    stands = list(all_stood(view, rules, at)) if known is None else known.stands

    def fresh(vial: str) -> Reckoning:
        return stood_for_syringes(view, rules, vial, at).reckoning

    reckon = fresh if known is None else known.for_syringes
    vials = {each.code for each in stands if each.reckoning.state is State.HELD}
    return LeftOver(
        opened=frozenset(
            each.code
            for each in stands
            if each.reckoning.state is not State.DISCARDED and was_opened(each.vial)
        ),
        held=frozenset(vials.union(_held_syringes(view, rules, reckon))),
    )


def _held_syringes(
    view: View, rules: InForce, reckon: Callable[[str], Reckoning]
) -> Iterator[str]:
    state_of = cache(lambda vial: reckon(vial).state)  # once a vial
    for code, syringe in view.all(SYRINGE):
        if syringe.became == "drawn" and _is_held(view, rules, syringe, state_of):
            yield code


def _is_held(
    view: View, rules: InForce, syringe: SyringeState, state_of: Callable[[str], State]
) -> bool:
    """Say whether a hold reaches the syringe: its own, its lot's or its vial's."""
    if holds([fact_of(row) for row in syringe.rows], rules.protocol.bands):
        return True
    if syringe.vial is not None and view.one(VIAL, syringe.vial) is not None:
        return state_of(syringe.vial) is State.HELD
    lot = view.one(LOT, syringe.lot)
    of_lot = [fact_of(row, of_lot=True) for row in lot.rows] if lot else []
    return bool(holds(of_lot, rules.protocol.bands))
