"""
Whether a correction buys a vial time: such a one needs a second person, and is shown for ever.

When in doubt it does: a hold that would be gone, a use-by that would be later, a vial that
could be opened sooner or used again.
"""

from thawline.ledger.events import (
    Event,
    LotHeld,
    LotReleased,
    ReadingTaken,
    ShipmentArrived,
    SyringesArrived,
    UnitWarmed,
    VialHeld,
    VialReleased,
)
from thawline.vial.reckon import Reckoning

_HOLDS = (LotHeld, SyringesArrived, UnitWarmed, VialHeld)
"""What they say holds something or limits it, and no reckoning of a vial would show it."""


def lengthens(before: Reckoning, after: Reckoning) -> bool:
    """
    Say whether the vial could be used, opened or kept for longer than before.

    A later use-by counts also when both have passed: a dose given in between would be judged
    otherwise.
    """
    if after.use_by is None:
        return after.usable
    if before.use_by is None or after.use_by > before.use_by:
        return True
    sooner = after.ready_at is not None and (
        before.ready_at is None or after.ready_at < before.ready_at
    )
    return after.usable and (sooner or not before.usable)


def lifts_a_hold(before: Event | None, after: Event | None) -> bool:
    """Say whether something would be held or limited less, or released that was not."""
    if after == before:
        return False
    if isinstance(before, _HOLDS) or isinstance(after, VialReleased | LotReleased):
        return True
    if isinstance(before, ReadingTaken) and (before.vials or before.syringes):
        return True  # what a table's temperature held
    if isinstance(before, ShipmentArrived) and isinstance(after, ShipmentArrived):
        return (before.soft and not after.soft) or before.expiry != after.expiry
    was, would_be = (getattr(event, "held", "") for event in (before, after))
    return bool(was) and was != would_be
