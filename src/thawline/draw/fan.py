"""
The wait fan: how long people wait by when they come, as nested bands beside the promise.

A band is drawn for half, 8 in 10 and 95 in 100 of the people, the median as a line; the promise
is dotted. The upper edge of the 8-in-10 band is what 9 in 10 wait less than.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil

from thawline.draw.day_frame import SMALL, TEXT, Frame, band, framed, grid
from thawline.draw.ink import BANDS, INK, PAPER
from thawline.draw.svg import Box, Point, polyline, rectangle, words

LEVELS = (0.025, 0.1, 0.25, 0.5, 0.75, 0.9, 0.975)
"""Shares of the people who wait less than each of a half hour's seven numbers."""
_MEDIAN, _NINE_IN_TEN = 3, 5
_WIDTH = 60
_MARKS = (".", "-", "=")
_POST, _MIDDLE = "|", "o"
KEY = "o half wait less   = half of the people   - 8 in 10   . 95 in 100   | the promise"


@dataclass(frozen=True, slots=True)
class Fan:
    """
    What is drawn.

    Args:
        title: Above the picture.
        ends: The opening and when each half hour ends, as people say it.
        waits_min: For each half hour of coming the waits at `LEVELS`, in minutes; None where
            hardly anybody comes.
        promise_min: Minutes.
        share: Of people who are to wait less.
        says: Where the figures come from.
        demo: Everything in it is invented.
    """

    title: str
    ends: Sequence[str]
    waits_min: Sequence[Sequence[float] | None]
    promise_min: float
    share: float
    says: str
    demo: bool = False


def in_words(fan: Fan) -> str:
    """Return how long 9 in 10 wait at most, in minutes rounded up, and when."""
    worst, half = max(
        (row[_NINE_IN_TEN], number) for number, row in enumerate(fan.waits_min) if row
    )
    return (
        f"9 in 10 people wait less than {ceil(worst)} min even in the longest half hour, "
        f"{fan.ends[half]} to {fan.ends[half + 1]}"
    )


def fan_text(fan: Fan) -> tuple[str, ...]:
    """Return the lines of the picture: one for each half hour, and the promise as a post."""
    most = max(fan.promise_min, *(row[-1] for row in fan.waits_min if row))
    step = most / _WIDTH
    head = f"{'from':<8}{'median':>8}{'9 in 10':>9}  0{f'{most:.0f} min':>{_WIDTH}}"
    rows = (_row(fan, half, step) for half in range(len(fan.waits_min)))
    return (_titled(fan), head, *rows, KEY, f"{in_words(fan)}.", fan.says)


def _titled(fan: Fan) -> str:
    return f"DEMO  {fan.title}" if fan.demo else fan.title


def _row(fan: Fan, half: int, step: float) -> str:
    row = fan.waits_min[half]
    strip = [" "] * (_WIDTH + 1)
    if row is not None:
        columns = [int(wait // step) for wait in row]
        for mark, low, high in zip(_MARKS, columns[:3], columns[:3:-1], strict=True):
            strip[low : high + 1] = mark * (high + 1 - low)
        strip[columns[_MEDIAN]] = _MIDDLE
    strip[int(fan.promise_min // step)] = _POST
    median = "-" if row is None else f"{row[_MEDIAN]:.0f} min"
    nine = "-" if row is None else f"{ceil(row[_NINE_IN_TEN])} min"
    return f"{fan.ends[half]:<8}{median:>8}{nine:>9}  {''.join(strip).rstrip()}"


def fan_body(fan: Fan, box: Box) -> Iterator[str]:
    """Yield the picture within a box of a page."""
    most = max(fan.promise_min, *(row[-1] for row in fan.waits_min if row))
    plot = Box(box.left + 84, box.top + 64, box.right, box.bottom - 76)
    frame = framed(plot, fan.ends, most)
    yield words(_titled(fan), (box.left, box.top + TEXT), TEXT, font_weight="bold")
    for piece in _pieces(fan):
        for fill, level in zip(BANDS, range(3), strict=True):
            yield band(
                _along(frame, fan, piece, level), _along(frame, fan, piece, -1 - level), fill
            )
    yield from grid(frame, " min")
    for piece in _pieces(fan):
        yield polyline(_along(frame, fan, piece, _MEDIAN), stroke=INK, stroke_width=3)
    yield from _promise(frame, fan)
    under = box.bottom - 34
    yield words(f"{in_words(fan)}.", (box.left, under), SMALL, font_weight="bold")
    yield words(
        f"Line: the median. Bands: half of the people, 8 in 10, 95 in 100. {fan.says}",
        (box.left, under + SMALL + 8),
        SMALL - 1,
    )


def _promise(frame: Frame, fan: Fan) -> Iterator[str]:
    left, right = frame.point(0, fan.promise_min), frame.point(1e9, fan.promise_min)
    yield polyline((left, right), stroke=INK, stroke_width=2, stroke_dasharray="2 5")
    label = f"our promise: {fan.share:.0%} under {fan.promise_min:g} min"
    width = len(label) * SMALL / 2 + 8
    x, y = left[0] + 6, left[1] - 6
    yield rectangle(Box(x - 2, y - SMALL, x + width, y + 4), fill=PAPER, fill_opacity=0.8)
    yield words(label, (x, y), SMALL)


def _pieces(fan: Fan) -> Iterator[list[int]]:
    """Yield runs of half hours in which people come."""
    numbered = enumerate(fan.waits_min)
    for there, run in groupby(numbered, key=lambda each: each[1] is not None):
        if there:
            yield [number for number, _ in run]


def _along(frame: Frame, fan: Fan, piece: Sequence[int], level: int) -> list[Point]:
    """Return one level through a run of half hours, flat to the edges of the run."""
    rows = [fan.waits_min[half] for half in piece]
    heights = [row[level] for row in rows if row is not None]
    middles = [
        frame.point(half + 1 / 2, height) for half, height in zip(piece, heights, strict=True)
    ]
    return [
        frame.point(piece[0], heights[0]),
        *middles,
        frame.point(piece[-1] + 1, heights[-1]),
    ]
