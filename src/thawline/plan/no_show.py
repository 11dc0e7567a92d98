"""
How many of the people booked stay away: a share for each group, and who says so.

A share is given by hand, read from a file by group, or learned from the site's own earlier
days. A group that nothing is known about is refused, never given somebody else's share.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from thawline.base.errors import RecordError

EVERYBODY_ELSE = "*"
"""The group of a file's row that stands for every group not listed."""


class SaidBy(StrEnum):
    """Where an assumption comes from."""

    HAND = "given by hand"
    FILE = "given by group, in a file"
    RECORD = "learned from this site's earlier days"


@dataclass(frozen=True, slots=True)
class NoShow:
    """The share of bookings that do not come, by group; `says` is the source in words."""

    shares: Mapping[str, float]
    said_by: SaidBy
    says: str

    def __post_init__(self) -> None:
        for group, share in self.shares.items():
            if not (math.isfinite(share) and 0 <= share <= 1):
                raise RecordError(
                    f"no-show share of {_who(group)} is not between 0 and 1: {share}",
                    advice="write a share, as in 0.08 for 8 in 100",
                )

    def share(self, group: str) -> float:
        """
        Return the share of a group that stays away.

        Raises:
            RecordError: Neither the group nor everybody else has a share.
        """
        known = self.shares.get(group, self.shares.get(EVERYBODY_ELSE))
        if known is None:
            raise RecordError(
                f"no no-show share for group {group!r}",
                advice=f"add a row for it, or one for {EVERYBODY_ELSE} (everybody else)",
            )
        return known


def by_hand(share: float) -> NoShow:
    """Return the one share that somebody gave for everybody."""
    return NoShow({EVERYBODY_ELSE: share}, SaidBy.HAND, f"{percent(share)} given by hand")


def learned(stayed_away: Iterable[bool], days: int) -> NoShow | None:
    """
    Return the share seen on earlier days; None when there were no bookings to learn from.

    Args:
        stayed_away: One answer for each earlier booking.
        days: On how many days those bookings were.
    """
    seen = list(stayed_away)
    if not seen:
        return None
    missed = sum(seen)
    says = (
        f"{percent(missed / len(seen))} learned here: {missed:,} of {len(seen):,} bookings on "
        f"{days} earlier {'day' if days == 1 else 'days'} had no dose that day"
    )
    return NoShow({EVERYBODY_ELSE: missed / len(seen)}, SaidBy.RECORD, says)


def _who(group: str) -> str:
    return "everybody" if group == EVERYBODY_ELSE else f"group {group!r}"


def percent(share: float) -> str:
    """Return a share in percent, to one place."""
    return f"{share:.1%}".replace("%", " %")
