"""
How many of the people booked stay away: a share for each group, and who says so.

A share is given by hand, read from a file by group, or learned from the site's own earlier
days. A group that nothing is known about is refused, never given somebody else's share.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, time
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


@dataclass(frozen=True, slots=True)
class Visit:
    """
    One booking whose time has passed.

    `walk_up`: written down when the person was here. `shift`: half-hours from its place to the
    dose; None: no dose that day.
    """

    day: date
    half_hour: time
    walk_up: bool
    shift: int | None


def days_run(visits: Iterable[Visit]) -> dict[date, list[Visit]]:
    """Return the visits of each day on which anybody had a dose."""
    by_day: dict[date, list[Visit]] = {}
    for visit in visits:
        by_day.setdefault(visit.day, []).append(visit)
    return {
        day: seen
        for day, seen in by_day.items()
        if any(visit.shift is not None for visit in seen)
    }


def booked_ahead(visits: Iterable[Visit]) -> list[Visit]:
    """Return those of them that say something of no-shows: a walk-up cannot stay away."""
    return [visit for visit in visits if not visit.walk_up]


def learned(visits: Iterable[Visit], today: date | None = None) -> NoShow | None:
    """
    Return the share of bookings without a dose, on days that had any; None without bookings.

    Args:
        visits: All of them whose time has passed.
        today: The day that is not over, said apart; None: none of them is.
    """
    run = {
        day: booked for day, seen in days_run(visits).items() if (booked := booked_ahead(seen))
    }
    seen = [visit.shift is None for booked in run.values() for visit in booked]
    if not seen:
        return None
    missed = sum(seen)
    days = len(run) - (today in run)
    earlier = f"{days} earlier {'day' if days == 1 else 'days'}"
    when = f"on {earlier}" if today is None else f"of today and of {earlier}"
    says = (
        f"{percent(missed / len(seen))} learned here: {missed:,} of {len(seen):,} bookings "
        f"{when} had no dose that day"
    )
    return NoShow({EVERYBODY_ELSE: missed / len(seen)}, SaidBy.RECORD, says)


def _who(group: str) -> str:
    return "everybody" if group == EVERYBODY_ELSE else f"group {group!r}"


def percent(share: float) -> str:
    """Return a share in percent, to one place."""
    return f"{share:.1%}".replace("%", " %")
