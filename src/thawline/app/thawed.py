"""What is thawed already at a site, and how much of it counts for a plan."""

from collections.abc import Sequence
from dataclasses import dataclass

from thawline.app.in_force import InForce
from thawline.app.standings import Stood, all_stood
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.on_hand import Batch, doses_used_in_time
from thawline.plan.thaw import Need, OnHand
from thawline.vial.reckon import State
from thawline.vial.story import What

_ON_TABLE = (State.OPEN, State.READY, State.WARMING)
_THAWED = (*_ON_TABLE, State.CHILLED, State.THAWING)


@dataclass(frozen=True, slots=True)
class Thawed:
    """A usable vial that has left the freezer; on the table, or still in the refrigerator."""

    use_by: Instant
    doses: int
    on_table: bool


def thawed_vials(view: View, rules: InForce, now: Instant) -> list[Thawed]:
    """Return the usable vials that have left the freezer, the first to be used in front."""
    found = [
        Thawed(stood.reckoning.use_by, stood.vial.left, _is_on_table(stood))
        for stood in all_stood(view, rules, now)
        if stood.reckoning.state in _THAWED
        and stood.reckoning.usable
        and stood.reckoning.use_by is not None
        and stood.vial.left > 0
    ]
    return sorted(found, key=lambda vial: vial.use_by)


def on_hand_for(vials: Sequence[Thawed], needs: Sequence[Need], taken: int = 0) -> OnHand:
    """
    Return what counts for a plan.

    Args:
        vials: What is thawed, the first to be used in front.
        needs: The plan made as if nothing were on hand.
        taken: Chilled vials that somebody else takes first.
    """
    if not needs:
        return OnHand()
    end = Instant(needs[-1].starts + HALF_HOUR)
    batches = [Batch(vial.use_by, vial.doses) for vial in vials if vial.on_table]
    chilled = [vial for vial in vials if not vial.on_table][taken:]
    keeping = [vial for vial in chilled if vial.use_by >= end]
    return OnHand(doses_used_in_time(batches, needs), len(keeping))


def _is_on_table(stood: Stood) -> bool:
    if stood.reckoning.state is not State.THAWING:
        return stood.reckoning.state in _ON_TABLE
    moves = [row.what for row in stood.vial.rows if row.what in (What.TO_FRIDGE, What.TO_TABLE)]
    return moves[-1:] == [What.TO_TABLE]
