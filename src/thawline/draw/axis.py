"""One wall-clock axis: whole hours at a place, and the column of an instant on it."""

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_time

_HOUR = timedelta(hours=1)
_TO_THE_HOUR = (12, 6, 4, 3, 2, 1)
MOST_COLUMNS = 60


@dataclass(frozen=True, slots=True)
class HourAxis:
    """
    Hours side by side, `columns` to each; a column stands for the time from its start on.

    Hours are elapsed time, so the hour that a clock change skips is not there, and one that
    comes twice is there twice.
    """

    starts: Instant
    hours: int
    columns: int
    zone: ZoneInfo

    @property
    def width(self) -> int:
        """Return the columns of the whole axis, the last hour's own mark included."""
        return self.hours * self.columns + 1

    def column(self, at: Instant) -> int:
        """Return the column that the instant lies in, at the edge for one outside."""
        passed = (at - self.starts) * self.columns // _HOUR
        return min(max(passed, 0), self.width - 1)

    def head(self) -> str:
        """Return the line of hours: two digits where each begins."""
        every = 1 if self.columns > _DIGITS else 2
        labels = (
            local_time(Instant(self.starts + n * _HOUR), self.zone).strftime("%H")
            if n % every == 0
            else ""
            for n in range(self.hours + 1)
        )
        return "".join(label.ljust(self.columns) for label in labels).rstrip()


_DIGITS = 2


def axis_over(first: Instant, last: Instant, zone: ZoneInfo) -> HourAxis:
    """
    Return the finest axis of whole hours that has room for both instants.

    Raises:
        RecordError: The second instant is before the first, or too far after it.
    """
    wall = local_time(first, zone)
    starts = Instant(
        first
        - timedelta(minutes=wall.minute, seconds=wall.second, microseconds=wall.microsecond)
    )
    hours = max(1, -((starts - last) // _HOUR))
    if last < first or hours > MOST_COLUMNS:
        raise RecordError(
            f"a picture of {hours} hours; at most {MOST_COLUMNS} fit",
            advice="show a shorter time",
        )
    columns = next(n for n in _TO_THE_HOUR if n * hours <= MOST_COLUMNS)
    return HourAxis(starts, hours, columns, zone)
