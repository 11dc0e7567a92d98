"""
The frame of a chart through a clinic day: half hours from left to right, numbers upwards.

Grid lines lie at round numbers; times stand below the hours. Bands lie under everything.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.draw.ink import INK, RULE
from thawline.draw.scales import Scale
from thawline.draw.svg import Box, Point, element, line, words

TEXT, SMALL = 18.0, 15.0
_NICE = (1, 2, 5)
_MOST_LINES = 5
_LABEL_GAP, _HOUR_GAP = 8.0, 20.0
_MOST_LABELS = 14


@dataclass(frozen=True, slots=True)
class Frame:
    """
    Where a chart lies and what its edges stand for.

    Args:
        box: Of the plot.
        ends: When each half hour ends, as people say it, the opening first: one more than
            there are half hours.
        most: The number at the top.
        step: Between grid lines.
    """

    box: Box
    ends: Sequence[str]
    most: float
    step: int

    def point(self, half: float, number: float) -> Point:
        """Return where a number lies, at so many half hours after opening."""
        across = Scale(0, len(self.ends) - 1, self.box.left, self.box.right)
        up = Scale(0, self.most, self.box.bottom, self.box.top)
        return across.at(half), up.at(number)


def framed(box: Box, ends: Sequence[str], most: float) -> Frame:
    """Return the frame with round numbers up to at least the most that is shown."""
    step = nice_step(most, _MOST_LINES)
    return Frame(box, ends, step * max(1, -int(-most // step)), step)


def nice_step(most: float, lines: int) -> int:
    """Return the smallest of 1, 2, 5, 10, 20, 50 ... that takes so many lines at most."""
    power = 1
    while True:
        for nice in _NICE:
            if nice * power * lines >= most:
                return nice * power
        power *= 10


def grid(frame: Frame, unit: str) -> Iterator[str]:
    """Yield the grid lines with their numbers, and the times below."""
    for number in range(0, int(frame.most) + 1, frame.step):
        x, y = frame.point(0, number)
        yield line((x, y), (frame.box.right, y), stroke=RULE if number else INK, stroke_width=1)
        label = f"{number:,}{unit}"
        yield words(label, (x - _LABEL_GAP, y + SMALL / 3), SMALL, text_anchor="end")
    every = max(2, -(-len(frame.ends) // _MOST_LABELS))
    for half in range(0, len(frame.ends), every):
        x, y = frame.point(half, 0)
        yield words(frame.ends[half], (x, y + _HOUR_GAP), SMALL, text_anchor="middle")


def band(low: Sequence[Point], high: Sequence[Point], fill: str) -> str:
    """Return the area between two lines of points, left to right."""
    around = [*low, *reversed(high)]
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in around)
    return element("polygon", points=points, fill=fill)
