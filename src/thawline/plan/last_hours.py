"""What is known of a site's last hours: who may come, what is in hand, what can be brought."""

from dataclasses import dataclass

import numpy as np

from thawline.base.errors import RecordError
from thawline.plan.opening_kernel import Numbers

_WHOLE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LastHours:
    """
    What is known of the slots that are left.

    Args:
        arrivals: shape (slots, most + 1), the chance that so many come in each slot.
        keeps: Doses in hand that may still be used when each slot begins, and at the close.
        waiting: People who are here without a dose.
        vials: How many more vials can be brought.
        doses_per_vial: In a full vial.
        warm_slots: Slots from bringing a vial until it may be opened; 0: it is ready.
        travel: The slots that each name of the standby list needs, in the list's order.
        takes: The chance that a name called comes in time.
    """

    arrivals: Numbers
    keeps: tuple[int, ...]
    waiting: int
    vials: int
    doses_per_vial: int
    warm_slots: int
    travel: tuple[int, ...] = ()
    takes: float = 0.0

    def __post_init__(self) -> None:
        slots = len(self.arrivals)
        if self.arrivals.ndim != 2 or not slots:  # noqa: PLR2004  slots by counts
            raise RecordError("no slots are left", advice="ask while there is time")
        if np.any(self.arrivals < 0) or np.any(abs(self.arrivals.sum(axis=1) - 1) > _WHOLE):
            raise RecordError("the chances of a slot are not 1 in all")
        if len(self.keeps) != slots + 1 or list(self.keeps) != sorted(self.keeps, reverse=True):
            raise RecordError(
                f"doses in hand: {self.keeps}", advice="one for each slot, never more later"
            )
        counts = (self.keeps[-1], self.waiting, self.vials, self.warm_slots, *self.travel)
        if min(counts) < 0 or self.doses_per_vial < 1 or not 0 <= self.takes <= 1:
            raise RecordError(
                f"counts {counts}, {self.doses_per_vial} doses a vial, chance {self.takes}",
                advice="0 or more of each, at least one dose, a chance from 0 to 1",
            )

    @property
    def slots(self) -> int:
        """Return the slots that are left."""
        return len(self.arrivals)

    @property
    def in_hand(self) -> int:
        """Return the doses in hand now."""
        return self.keeps[0]

    @property
    def lowest(self) -> int:
        """Return the lowest balance that is told apart: people waiting, less than nothing."""
        return -(self.waiting + 2 * self.doses_per_vial)

    @property
    def balances(self) -> int:
        """Return how many balances of doses less people waiting there are."""
        return self.in_hand + self.doses_per_vial * self.vials - self.lowest + 1

    def to_come(self, slot: int = 0) -> Numbers:
        """Return the chance of each number of people from a slot on."""
        found = np.ones(1)
        for chances in self.arrivals[slot:]:
            found = np.convolve(found, chances)
        return found
