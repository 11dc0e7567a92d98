"""
Seen over expected for each group: a mark with its range on a log axis, as SVG and as text.

A hollow mark: the range holds 1, so nothing is said. A solid diamond: more than chance
explains.
A range that goes on beyond the axis ends in an arrow, and a mark above the axis stands at its
end: the largest of all is never left out. Nothing is said by colour.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log10
from textwrap import wrap

from thawline.draw.ink import INK, MUTED, PAPER
from thawline.draw.svg import Said, document, element, line, words

_LOW, _HIGH = 0.1, 100.0  # the axis: a tenth of what was expected to a hundred times
_TICKS = ((0.1, "0.1"), (1.0, "1x"), (10.0, "10x"), (100.0, "100x"))
_NAMES, _COUNTS, _PLOT = 20, 20, 49
_ROW, _TOP, _BOTTOM, _LINE = 56.0, 96.0, 84.0, 20.0
_FOOT_WIDE = 112  # characters of a line under the picture
_LEFT, _COUNTS_AT, _PLOT_FROM, _PLOT_TO, _WIDTH = 24.0, 240.0, 420.0, 900.0, 940.0
_TEXT, _SMALL, _MARK = 18.0, 15.0, 8.0


@dataclass(frozen=True, slots=True)
class Mark:
    """One group; `ratio` and range None: nothing may be shown or nothing was expected."""

    name: str
    counts: str  # "31 of 5.1": seen, and expected
    says: str
    short: str
    ratio: float | None = None
    lower: float | None = None
    upper: float | None = None
    is_above: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """What is drawn: the groups in order, the words over and under it."""

    title: str
    marks: Sequence[Mark]
    says: str
    demo: bool = False


def forest_text(picture: Picture) -> tuple[str, ...]:
    """Return the lines of the picture: a group, its counts, its range on the axis."""
    head = f"{'':<{_NAMES}}{'seen of expected':>{_COUNTS}}  {_axis_text()}"
    lines = [head.rstrip()]
    for mark in picture.marks:
        plot = " " * _PLOT if mark.ratio is None else _range_text(mark)
        row = f"{mark.name[:_NAMES]:<{_NAMES}}{mark.counts:>{_COUNTS}}  {plot}"
        lines.append(row.rstrip())
    lines.append(
        "o the range holds 1   * more than chance explains   < > goes on   : as expected"
    )
    return tuple(lines)


def _column(ratio: float) -> int:
    return round(_share(ratio) * (_PLOT - 1))


def _share(ratio: float) -> float:
    """Return how far along the axis a ratio lies, 0 to 1; at its end for one beyond."""
    if ratio <= _LOW:
        return 0.0
    return min(log10(ratio / _LOW) / log10(_HIGH / _LOW), 1.0)


def _axis_text() -> str:
    axis = [" "] * (_PLOT + 4)
    for at, says in _TICKS:
        begin = _column(at)
        axis[begin : begin + len(says)] = says
    return "".join(axis)


def _range_text(mark: Mark) -> str:
    lower, upper, ratio = mark.lower or 0.0, mark.upper or 0.0, mark.ratio or 0.0
    plot = [" "] * _PLOT
    first, last = _column(lower), _column(upper)
    plot[first : last + 1] = "-" * (last + 1 - first)
    plot[_column(1.0)] = ":"
    if lower < _LOW:
        plot[first] = "<"
    if upper > _HIGH:
        plot[last] = ">"
    if ratio >= _LOW:
        at = _column(ratio) if ratio <= _HIGH else _PLOT - 2  # beside the arrow
        plot[at] = "*" if mark.is_above else "o"
    return "".join(plot)


def forest_svg(picture: Picture) -> str:
    """Return the picture for a page."""
    foot = wrap(picture.says, _FOOT_WIDE)
    height = _TOP + _ROW * len(picture.marks) + _BOTTOM + _LINE * len(foot)
    told = " ".join(f"{mark.name}: {mark.counts}; {mark.says}." for mark in picture.marks)
    said = Said("seen-expected", picture.title, f"{told} {picture.says}")
    return document((_WIDTH, height), said, _body(picture, foot))


def _body(picture: Picture, foot: Sequence[str]) -> Iterator[str]:
    demo = "DEMO  " if picture.demo else ""
    yield words(f"{demo}{picture.title}", (_LEFT, 36), _TEXT, font_weight="bold")
    floor = _TOP + _ROW * len(picture.marks)
    yield words("seen of expected", (_COUNTS_AT, _TOP - 16), _SMALL, fill=MUTED)
    for at, says in _TICKS:
        x = _across(at)
        is_one = at == 1
        yield line(
            (x, _TOP - 8),
            (x, floor + 4),
            stroke=INK if is_one else MUTED,
            stroke_width=2 if is_one else 1,
        )
        weight = "bold" if is_one else "normal"
        yield words(says, (x, floor + 24), _SMALL, text_anchor="middle", font_weight=weight)
    for number, mark in enumerate(picture.marks):
        yield from _row(mark, _TOP + _ROW * (number + 1 / 2))
    key = "hollow: the range holds 1; solid diamond: more than chance explains"
    yield words(key, (_LEFT, floor + 50), _SMALL, fill=MUTED)
    for number, told in enumerate(foot):
        yield words(told, (_LEFT, floor + 76 + _LINE * number), _SMALL)


def _across(ratio: float) -> float:
    return _PLOT_FROM + _share(ratio) * (_PLOT_TO - _PLOT_FROM)


def _row(mark: Mark, y: float) -> Iterator[str]:
    yield words(mark.name, (_LEFT, y), _TEXT, font_weight="bold")
    yield words(mark.counts, (_COUNTS_AT, y), _TEXT)
    for number, told in enumerate(wrap(mark.short, 52)):
        yield words(told, (_LEFT, y + 17 + 15 * number), 13.0, fill=MUTED)
    if mark.ratio is None:
        return
    lower, upper = mark.lower or 0.0, mark.upper or 0.0
    yield line((_across(lower), y), (_across(upper), y), stroke=INK, stroke_width=3)
    if lower < _LOW:
        yield _arrow(_across(lower), y, -1)
    if upper > _HIGH:
        yield _arrow(_across(upper), y, 1)
    if mark.ratio >= _LOW:
        beside = 2 * _MARK if mark.ratio > _HIGH else 0.0  # the arrow keeps its place
        x = _across(mark.ratio) - beside
        yield _diamond(x, y) if mark.is_above else _ring(x, y)


def _ring(x: float, y: float) -> str:
    return element("circle", cx=x, cy=y, r=_MARK - 1, fill=PAPER, stroke=INK, stroke_width=3)


def _diamond(x: float, y: float) -> str:
    size = _MARK + 2
    corners = [(x, y - size), (x + size, y), (x, y + size), (x - size, y)]
    return element("polygon", points=_points(corners), fill=INK, stroke=PAPER, stroke_width=1)


def _arrow(x: float, y: float, way: int) -> str:
    tip = x + way * _MARK
    corners = [(tip, y), (tip - way * _MARK, y - 6), (tip - way * _MARK, y + 6)]
    return element("polygon", points=_points(corners), fill=INK)


def _points(corners: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
