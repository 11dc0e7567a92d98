"""
How many doses the crew still expects to need: an estimate, from what can be known in the hall.

The people waiting, and of those still booked the share that usually comes. Nobody in the hall
knows who really will.
"""

from collections.abc import Sequence
from datetime import date

from thawline.demo.arrivals import WALK_UPS_BETWEEN_S, share_that_stays_away, slots
from thawline.demo.district import Place
from thawline.demo.hall import Seat
from thawline.demo.people import WALK_UPS

_MARGIN = 2


class Needed:
    """What one day at a site still needs, asked at any time of it."""

    def __init__(self, place: Place, day: date, seed: int, seats: Sequence[Seat]) -> None:
        self._slots = slots(place, day, seed)
        self._seats = seats
        self._walk_ups = WALK_UPS * place.booked_a_day

    def after(self, at_s: int) -> int:
        """Return the doses still needed after that time, with a small margin."""
        waiting = sum(seat.visit.came_s <= at_s < seat.at_s for seat in self._seats)
        booked = sum(
            1 - share_that_stays_away(person.group)
            for slot in self._slots
            if slot.at_s > at_s
            for person in slot.people
        )
        first_s, last_s = WALK_UPS_BETWEEN_S
        to_come = (last_s - max(first_s, min(at_s, last_s))) / (last_s - first_s)
        return round(waiting + booked + self._walk_ups * to_come) + _MARGIN
