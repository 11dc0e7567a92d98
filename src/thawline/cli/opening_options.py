"""What is asked about the hours that are left: told by hand, or at a site."""

from dataclasses import dataclass

from cyclopts import Parameter

from thawline.base.errors import RecordError
from thawline.cli.amounts import check_hours

_MINUTES = 60


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Ahead:
    """
    What is known of the hours that are left; at a site the record says it.

    Parameters
    ----------
    booked
        People booked in the hours that are left; left out, the site's own record is read.
    no_show
        The share of them that stays away, from 0 to below 1; at a site learned if left out.
    hours
        Hours until the last person is served; at a site say --close.
    walk_ups_per_hour
        People who come without a booking; at a site learned from today if left out.
    standby
        Names on the standby list; a site has its own.
    takes
        The chance that a name called comes in time.
    slot_min
        The length of a slot in minutes.
    tables
        Draw tables, to show what one vial for each would waste beside one shared table.
    preparers
        People who draw up, one at a table; more tables than that are refused.
    together
        Hours, to show what the same bookings would waste close together; with --booked.
    """

    booked: int | None = None
    no_show: float | None = None
    hours: float | None = None
    walk_ups_per_hour: float | None = None
    standby: int = 0
    takes: float = 0.5
    slot_min: int = 10
    tables: int = 1
    preparers: int | None = None
    together: float | None = None

    @property
    def slots(self) -> int:
        """Return the slots that are left; RecordError without one."""
        hours = self.hours or 0
        check_hours(hours)
        if self.slot_min < 1 or not _MINUTES * hours >= self.slot_min:
            raise RecordError(
                f"{hours} h in slots of {self.slot_min} min", advice="at least one slot"
            )
        return int(hours * _MINUTES // self.slot_min)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Here:
    """
    A question about a site's own day.

    Parameters
    ----------
    site
        The site's name; not needed where there is only one.
    at
        The moment asked about: 16:52 today, or a time with its offset; now if left out.
    close
        When the last person is served; left out, ten minutes after the last booking.
    waiting
        People here without a dose, beside those at the chairs.
    svg
        The file to write the picture of the last hours to; its name ends in .svg.
    """

    site: str | None = None
    at: str | None = None
    close: str | None = None
    waiting: int = 0
    svg: str | None = None
