"""
Open vials as threads on one axis: time gone, now, time left, and an end post at the use-by.

Longer is more time, and the number beside the code is the doses left. A last single dose is
drawn thin. What is held is cross-hatched and says so in words.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_time
from thawline.draw.axis import HourAxis, axis_over

HELD = "HELD"
PAST = "PAST"
_OPENED, _GONE, _NOW, _POST = ".", "-", "|", "|"
_ONE_DOSE, _DOSES, _HATCH = "-", "=", "#"
KEY = ". opened   - gone   | now   = left (- one dose)   | use by   # held"


@dataclass(frozen=True, slots=True)
class Thread:
    """An open vial: its code, doses left by the book, since when and until when."""

    code: str
    doses: int
    opened: Instant
    use_by: Instant
    held: bool = False


def threads(open_vials: Sequence[Thread], now: Instant, zone: ZoneInfo) -> tuple[str, ...]:
    """
    Return the lines of the picture, the vials in the order given.

    Raises:
        RecordError: They are too far apart in time for one picture.
    """
    if not open_vials:
        return ("no open vial",)
    first = min(now, *(each.opened for each in open_vials))
    last = max(now, *(each.use_by for each in open_vials))
    axis = axis_over(first, last, zone)
    margin = len(_label(open_vials[0], now))
    head = f"{'':{margin}}{axis.head()}"
    rows = (_row(each, now, axis) for each in open_vials)
    foot = f"{'':{margin + axis.column(now)}}now {_clock(now, zone)}"
    return (head, *rows, foot)


def _row(thread: Thread, now: Instant, axis: HourAxis) -> str:
    strip = _strip(thread, now, axis).ljust(axis.width)
    return f"{_label(thread, now)}{strip}  {_clock(thread.use_by, axis.zone)}"


def _label(thread: Thread, now: Instant) -> str:
    word = HELD if thread.held else PAST if now >= thread.use_by else ""
    return f"{thread.code:<5} {thread.doses:>2} {word:<5}"


def _strip(thread: Thread, now: Instant, axis: HourAxis) -> str:
    """Return the thread; of marks that share a column the end post and now win."""
    opened, at, post = (axis.column(each) for each in (thread.opened, now, thread.use_by))
    until = min(at, post)
    strip = list(" " * axis.width)
    strip[opened : until + 1] = _GONE * (until + 1 - opened)
    strip[until : post + 1] = _left(thread) * (post + 1 - until)
    strip[opened] = _OPENED
    if now < thread.use_by:
        strip[at] = _NOW
    strip[post] = _POST
    return "".join(strip).rstrip()


def _left(thread: Thread) -> str:
    if thread.held:
        return _HATCH
    return _ONE_DOSE if thread.doses <= 1 else _DOSES


def _clock(at: Instant, zone: ZoneInfo) -> str:
    return local_time(at, zone).strftime("%H:%M")
