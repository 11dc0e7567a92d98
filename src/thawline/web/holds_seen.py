"""
Which devices have not yet shown a hold: a runner goes until none is left.

A tablet confirms a hold when the slab that names it was on its screen. One that has spoken
within the shift and has not confirmed may still show the vial as usable.
"""

from dataclasses import dataclass

from thawline.app.holds_standing import StandingHold, standing_holds
from thawline.base.instants import Instant
from thawline.ledger.entries import View
from thawline.web.tablets.heard import LIVE, known_tablets, tablets_that_showed


@dataclass(frozen=True, slots=True)
class Unshown:
    """A hold, and the devices that have not shown it."""

    hold: StandingHold
    devices: tuple[str, ...]


def unshown(view: View, at: Instant) -> tuple[Unshown, ...]:
    """Return the holds that stand and the devices, of those heard this shift, without them."""
    tablets = [each for each in known_tablets() if at - each.at <= LIVE]
    found = []
    for hold in standing_holds(view):
        showed = tablets_that_showed(hold.seq)
        devices = tuple(each.called for each in tablets if each.word.tablet not in showed)
        if devices:
            found.append(Unshown(hold, devices))
    return tuple(found)
