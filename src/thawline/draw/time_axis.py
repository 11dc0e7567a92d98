"""One wall-clock axis in pixels: whole hours at a place, with their marks."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_time
from thawline.draw.axis import axis_over
from thawline.draw.ink import INK, MUTED, RULE
from thawline.draw.svg import line, words

_HOUR = timedelta(hours=1)
_MOST_MARKS = 14
_MARK_PX, _SMALL, _MARK_ROOM = 6.0, 15.0, 36.0


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """Elapsed time from left to right, so an hour that the clocks skip is not there."""

    starts: Instant
    hours: int
    left: float
    right: float
    zone: ZoneInfo

    def x(self, at: Instant) -> float:
        """Return where an instant lies; at the edge for one outside."""
        share = (at - self.starts) / (self.hours * _HOUR)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def clock(self, at: Instant) -> str:
        """Return the wall-clock time there."""
        return local_time(at, self.zone).strftime("%H:%M")

    def marks(self) -> Iterator[tuple[float, str]]:
        """Yield where whole hours lie, with their two digits; every n-th of many."""
        most = max(1, min(_MOST_MARKS, int((self.right - self.left) // _MARK_ROOM)))
        every = max(1, -(-self.hours // most))
        for hour in range(0, self.hours + 1, every):
            at = Instant(self.starts + hour * _HOUR)
            yield self.x(at), local_time(at, self.zone).strftime("%H")


def axis_between(
    first: Instant, last: Instant, zone: ZoneInfo, edges: tuple[float, float]
) -> TimeAxis:
    """
    Return an axis of whole hours with room for both.

    Raises:
        RecordError: They are too far apart for one picture.
    """
    axis = axis_over(first, last, zone)
    return TimeAxis(axis.starts, axis.hours, *edges, zone)


def axis_drawn(axis: TimeAxis, y: float) -> Iterator[str]:
    """Yield the axis at a height: its line, its marks, the hours below."""
    yield line((axis.left, y), (axis.right, y), stroke=INK, stroke_width=2)
    for x, label in axis.marks():
        yield line((x, y), (x, y + _MARK_PX), stroke=INK, stroke_width=2)
        yield words(label, (x, y + _MARK_PX + _SMALL), _SMALL, text_anchor="middle", fill=MUTED)


def hours_behind(axis: TimeAxis, top: float, bottom: float) -> Iterator[str]:
    """Yield faint lines at the hours, for what is drawn over them."""
    for x, _ in axis.marks():
        yield line((x, top), (x, bottom), stroke=RULE, stroke_width=0.5)
