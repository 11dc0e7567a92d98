"""The holds that somebody pressed and that stand: what every device of the site must show."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant, from_ms
from thawline.ledger.entries import View
from thawline.vial.facts import Row, fact_of
from thawline.vial.folds import LOT, VIAL
from thawline.vial.leaving import holds
from thawline.vial.story import What
from thawline.vial.syringes import SYRINGE

_NAMED = 4
"""So many are named in a slab; a choice of ours. The list of vials has them all."""
_HOLDING = (What.HOLD, What.RELEASE)


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
        gone = any(row.what is What.DISCARD for row in vial.rows) or vial.sent_to is not None
        if (not gone or code in drawn_from) and (row := _last_hold(vial.rows)):
            yield code, row


def _lots(view: View) -> Iterator[tuple[str, Row]]:
    for lot, state in view.all(LOT):
        if row := _last_hold(state.rows):
            yield f"lot {lot}", row


def _last_hold(rows: Sequence[Row]) -> Row | None:
    """Return the newest hold among the rows if one stands."""
    told = [row for row in rows if row.what in _HOLDING]
    held = [row for row in told if row.what is What.HOLD]
    if not held or not holds([fact_of(row) for row in told], {}):
        return None
    return held[-1]
