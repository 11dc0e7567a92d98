"""
Whether a correction buys a vial time: such a one needs a second person, and is shown for ever.

When in doubt it does: a hold that would be gone, a use-by that would be later, a vial that
could be opened sooner or used again.
"""

from thawline.ledger.events import Event, LotHeld, SyringesArrived, VialHeld
from thawline.vial.reckon import Reckoning


def lengthens(before: Reckoning, after: Reckoning) -> bool:
    """Say whether the vial could be used, opened or kept for longer than before."""
    if not after.usable:
        return False
    if not before.usable or before.use_by is None or after.use_by is None:
        return True
    sooner = after.ready_at is not None and (
        before.ready_at is None or after.ready_at < before.ready_at
    )
    return sooner or after.use_by > before.use_by


def lifts_a_hold(before: Event, after: Event | None) -> bool:
    """Say whether an entry that held something would hold less, or for another reason."""
    if isinstance(before, VialHeld | LotHeld | SyringesArrived):
        return after != before
    held = {name: getattr(before, name, None) for name in ("held", "soft")}
    return any(value and value != getattr(after, name, None) for name, value in held.items())
