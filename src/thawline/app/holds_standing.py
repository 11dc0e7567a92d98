"""The holds that somebody pressed and that stand: what every device of the site must show."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import View
from thawline.vial.facts import Row, VialState, fact_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.story import What
from thawline.vial.syringes import SYRINGE

_NAMED = 4
"""So many are named in a slab; a choice of ours. The list of vials has them all."""
_HOLD = What.HOLD
_HOLDING = (_HOLD, What.RELEASE)


@dataclass(frozen=True, slots=True)
class StandingHold:
    """
    One act that holds vials or a whole lot: a cause, however many vials it concerns.

    `seq` is the number of the entry, `held` what it holds, `since` from when.
    """

    seq: int
    held: tuple[str, ...]
    since: Instant

    @property
    def what(self) -> str:
        """Return what it holds, in a few words."""
        first, rest = self.held[:_NAMED], len(self.held) - _NAMED
        return ", ".join(first) + (f" and {rest} more" if rest > 0 else "")


def standing_holds(view: View) -> tuple[StandingHold, ...]:
    """Return the holds that stand and still matter, the newest first."""
    out = {state.vial for _, state in view.all(SYRINGE) if state.became == "drawn"}
    by_act: dict[int, list[tuple[str, Row]]] = {}
    for what, row in [*_lots(view), *_vials(view, out)]:
        by_act.setdefault(row.seq, []).append((what, row))
    return tuple(
        StandingHold(seq, tuple(what for what, _ in found), from_ms(found[0][1].lo_ms))
        for seq, found in sorted(by_act.items(), reverse=True)
    )


def _vials(view: View, drawn_from: set[str | None]) -> Iterator[tuple[str, Row]]:
    for code, vial in view.all(VIAL):
        held = [row for row in vial.rows if row.what is _HOLD]
        if held and (code in drawn_from or not _is_gone(vial)) and _stands(vial.rows):
            yield code, held[-1]


def _is_gone(vial: VialState) -> bool:
    return vial.sent_to is not None or any(row.what is What.DISCARD for row in vial.rows)


def _lots(view: View) -> Iterator[tuple[str, Row]]:
    for lot, state in view.all(LOT):
        held = [row for row in state.rows if row.what is _HOLD]
        if held and _stands(state.rows):
            yield f"lot {lot}", held[-1]


def _stands(rows: Sequence[Row]) -> bool:
    """Say whether a hold among the rows stands: no release certainly followed it."""
    told = [fact_of(row) for row in rows if row.what in _HOLDING]
    return bool(holds(told, {}))
