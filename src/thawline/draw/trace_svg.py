"""
A temperature trace as SVG, readable on paper, in grey and without seeing colours.

Drawn from back to front: band, degrees, the word DEMO, gaps, the line, limits, marks on the
limits, hand readings, words. Nothing is said by colour alone.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from textwrap import wrap

from thawline.base.instants import to_ms
from thawline.draw.ink import FAINT, INK, MUTED, PAPER, RULE, STOP
from thawline.draw.peaks import columns
from thawline.draw.scales import Scale, degree_marks, time_marks
from thawline.draw.svg import (
    Box,
    Point,
    Said,
    document,
    element,
    line,
    polyline,
    rectangle,
    words,
)
from thawline.draw.trace import (
    NOT_KNOWN,
    Gap,
    Trace,
    degrees,
    degrees_shown,
    gaps_shown,
    outside_says,
    pieces,
    span_says,
    times_of,
    zone_says,
)
from thawline.rules.cold import Side

WIDTH = 1080.0
_PLOT = Box(92, 58, 1000, 352)
_TITLE_Y, _HOURS_Y, _ZONE_Y, _SAYS_Y = 28, 378, 398, 430
_SMALL, _USUAL, _TITLE = 15, 17, 20
_LINE, _LIMIT, _MARK = 2.5, 2, 10
_LETTER, _BOLD_LETTER = 0.56, 0.64  # of the size: a letter's width; no font is known
_BETWEEN_LINES = 24
_TICKS, _DEGREES = 13, 8
_LEAST_GAP = _LEAST_MARK = 5  # pixels: a gap or a mark is seen, however short
_CLEAR_OF_LIMIT = 22
_HATCH = "gap-hatch"
_HAND_RADIUS = 6


@dataclass(frozen=True, slots=True)
class _Page:
    """The two scales of a trace on its page."""

    trace: Trace
    time: Scale
    heat: Scale

    def point(self, at_ms: int, temp_mc: int) -> Point:
        return self.time.at(at_ms), self.heat.at(temp_mc / _MC)


_MC = 1_000


def trace_svg(trace: Trace, name: str = "trace") -> str:
    """Return the whole picture; `name` keeps its ids apart from others on the same page."""
    low, high = degrees_shown(trace)
    page = _Page(
        trace,
        Scale(to_ms(trace.since), to_ms(trace.until), _PLOT.left, _PLOT.right),
        Scale(low, high, _PLOT.bottom, _PLOT.top),
    )
    title = f"{trace.title}, {span_says(trace)}"
    says = list(_sentences(trace))
    height = _SAYS_Y + _BETWEEN_LINES * len(says)
    body = [
        *_band(page),
        *_degree_lines(page),
        *_gaps(page, name),
        *_demo(page),
        *_curve(page),
        *_limits(page),
        *_outside(page),
        *_hand(page),
        *_axis(page),
        words(title, (_PLOT.left, _TITLE_Y), _title_size(title), font_weight="bold"),
        *says,
    ]
    said = Said(name, title, " ".join(_described(trace)))
    return document((WIDTH, height), said, body)


def _title_size(title: str) -> float:
    """Return the size at which a title stays on the page."""
    return min(_TITLE, (WIDTH - _PLOT.left) / (_BOLD_LETTER * len(title)))


def _described(trace: Trace) -> Iterator[str]:
    """Yield everything the picture shows, for those who do not see it."""
    yield f"Band {degrees(trace.low_c)} to {degrees(trace.high_c)}; {zone_says(trace)}."
    for gap in gaps_shown(trace):
        yield f"{NOT_KNOWN} from {times_of(gap, trace.zone)}."
    for run in trace.outside:
        yield f"{outside_says(trace, run)}."
    yield from trace.says


def _band(page: _Page) -> Iterator[str]:
    top, bottom = page.heat.at(page.trace.high_c), page.heat.at(page.trace.low_c)
    yield rectangle(Box(_PLOT.left, top, _PLOT.right, bottom), fill=FAINT)


def _degree_lines(page: _Page) -> Iterator[str]:
    trace = page.trace
    for mark in degree_marks(page.heat.first, page.heat.last, _DEGREES):
        y = page.heat.at(mark.at)
        yield line((_PLOT.left, y), (_PLOT.right, y), stroke=RULE, stroke_width=0.5)
        if not _is_near_limit(page, mark.at):
            yield from _degree_words(trace, mark.at, y, "normal")


def _is_near_limit(page: _Page, celsius: float) -> bool:
    y = page.heat.at(celsius)
    return any(abs(y - page.heat.at(c)) < _CLEAR_OF_LIMIT for c in _limits_shown(page))


def _limits_shown(page: _Page) -> list[float]:
    ends = (page.trace.low_c, page.trace.high_c)
    return [c for c in ends if page.heat.first <= c <= page.heat.last]


def _degree_words(trace: Trace, celsius: float, y: float, weight: str) -> Iterator[str]:
    lower = y + _SMALL / 3
    told = {"font_weight": weight}
    yield words(degrees(celsius), (_PLOT.left - 10, lower), 16, text_anchor="end", **told)
    if trace.fahrenheit:
        yield words(degrees(celsius, fahrenheit=True), (_PLOT.right + 10, lower), 16, **told)


def _limits(page: _Page) -> Iterator[str]:
    for celsius in _limits_shown(page):
        y = page.heat.at(celsius)
        yield line((_PLOT.left, y), (_PLOT.right, y), stroke=MUTED, stroke_width=_LIMIT)
        yield from _degree_words(page.trace, celsius, y, "bold")
    if page.trace.low_c < page.heat.first:
        says = f"the band goes down to {degrees(page.trace.low_c)}"
        yield words(says, (_PLOT.left + 8, _PLOT.bottom - 8), _SMALL, fill=MUTED)


def _demo(page: _Page) -> Iterator[str]:
    if page.trace.demo:
        middle = (_PLOT.left + _PLOT.width / 2, _PLOT.top + _PLOT.height * 0.72)
        yield words(
            "DEMO",
            middle,
            190,
            fill=RULE,
            fill_opacity="0.2",
            font_weight="bold",
            text_anchor="middle",
            letter_spacing=50,
        )


def _gaps(page: _Page, name: str) -> Iterator[str]:
    shown = list(gaps_shown(page.trace))
    if not shown:
        return
    stroke = element("path", d="M0 0V12", stroke=MUTED, stroke_width=1.6)
    yield element(
        "defs",
        element(
            "pattern",
            stroke,
            id=f"{name}-{_HATCH}",
            width=8,
            height=12,
            patternUnits="userSpaceOnUse",
            patternTransform="rotate(45)",
        ),
    )
    for gap in shown:
        yield from _gap(page, gap, f"url(#{name}-{_HATCH})")


def _gap(page: _Page, gap: Gap, hatch: str) -> Iterator[str]:
    left, right = page.time.at(gap.from_ms), page.time.at(gap.to_ms)
    right = max(right, left + _LEAST_GAP)
    box = Box(left, _PLOT.top, right, _PLOT.bottom)
    yield rectangle(box, fill=PAPER)
    yield rectangle(box, fill=hatch, stroke=MUTED, stroke_width=1)
    times = times_of(gap, page.trace.zone)
    wide = max(len(NOT_KNOWN) * _USUAL, len(times) * _SMALL) * _LETTER + 12
    if box.width >= wide:
        middle = (left + right) / 2
        top = _PLOT.top + 8
        yield rectangle(Box(middle - wide / 2, top, middle + wide / 2, top + 46), fill=PAPER)
        yield words(
            NOT_KNOWN, (middle, top + 19), _USUAL, text_anchor="middle", font_weight="bold"
        )
        yield words(times, (middle, top + 38), _SMALL, text_anchor="middle")
    else:
        yield words(
            "?", ((left + right) / 2, _PLOT.top - 4), _USUAL, text_anchor="middle",
            font_weight="bold",
        )  # fmt: skip


def _curve(page: _Page) -> Iterator[str]:
    """Yield a line for each piece between gaps; a reading alone is a dot."""
    for piece in pieces(page.trace):
        first, last = to_ms(page.trace.since), to_ms(page.trace.until)
        points = []
        for each in columns(piece, first, last, int(_PLOT.width)):
            points.append(page.point(each.first_ms, each.first_mc))
            if each.last_ms > each.first_ms:
                middle = (each.first_ms + each.last_ms) // 2
                points += [page.point(middle, mc) for mc in (each.lowest_mc, each.highest_mc)]
                points.append(page.point(each.last_ms, each.last_mc))
        if len(points) == 1:
            yield element("circle", cx=points[0][0], cy=points[0][1], r=_LINE, fill=INK)
        else:
            yield polyline(points, stroke=INK, stroke_width=_LINE, stroke_linejoin="round")


def _outside(page: _Page) -> Iterator[str]:
    """Yield a thick mark on the limit for each run out of band, and words if there is room."""
    taken = -WIDTH
    for run in page.trace.outside:
        limit = page.trace.high_c if run.side is Side.ABOVE else page.trace.low_c
        y = page.heat.at(limit)
        left, right = page.time.at(run.from_ms), page.time.at(run.to_ms)
        right = max(right, left + _LEAST_MARK)
        yield rectangle(Box(left, y - _MARK / 2, right, y + _MARK / 2), fill=STOP)
        says = outside_says(page.trace, run).split(", ")
        wide = max(map(len, says)) * _USUAL * _BOLD_LETTER
        x = min(left, _PLOT.right - wide)
        if x > taken:
            taken = x + wide
            yield from _beside_mark(says, x, y, run.side)


def _beside_mark(says: list[str], x: float, y: float, side: Side) -> Iterator[str]:
    """Yield the words of a mark, on the inner side of its limit, where the curve is not."""
    first = y + _MARK / 2 + 18 if side is Side.ABOVE else y - _MARK / 2 - 28
    for number, each in enumerate(says):
        yield words(
            each,
            (x, first + 20 * number),
            _USUAL,
            font_weight="bold",
            stroke=PAPER,
            stroke_width=4,
            paint_order="stroke",
            stroke_linejoin="round",
        )


def _hand(page: _Page) -> Iterator[str]:
    hand = page.trace.hand()
    for at_ms, temp_mc in zip(hand.at_ms, hand.temp_mc, strict=True):
        x, y = page.point(int(at_ms), int(temp_mc))
        yield element(
            "circle", cx=x, cy=y, r=_HAND_RADIUS, fill=PAPER, stroke=INK, stroke_width=2.5
        )
    if len(hand):
        # Below the picture: above it stands the mark of what is not known.
        yield words("\N{WHITE CIRCLE} read by hand", (_PLOT.left, _ZONE_Y), _SMALL)


def _axis(page: _Page) -> Iterator[str]:
    trace, bottom = page.trace, _PLOT.bottom
    for mark in time_marks(trace.since, trace.until, trace.zone, _TICKS):
        x = page.time.at(mark.at)
        yield line((x, bottom), (x, bottom + 7), stroke=INK, stroke_width=2)
        bold = {"font_weight": "bold"} if not mark.says[0].isdigit() else {}
        yield words(mark.says, (x, _HOURS_Y), _SMALL, text_anchor="middle", **bold)
    yield line((_PLOT.left, bottom), (_PLOT.right, bottom), stroke=INK, stroke_width=2)
    yield words(zone_says(trace), (_PLOT.right, _ZONE_Y), _SMALL, text_anchor="end", fill=MUTED)


def _sentences(trace: Trace) -> Iterator[str]:
    """Yield the lines under the picture, the first sentence strong."""
    y = float(_SAYS_Y)
    for number, each in enumerate(trace.says):
        letter, weight = (_LETTER, "normal") if number else (_BOLD_LETTER, "bold")
        across = int(_PLOT.width / (_USUAL * letter))
        for part in wrap(_together(each), across, break_on_hyphens=False):
            yield words(part, (_PLOT.left, y), _USUAL, font_weight=weight)
            y += _BETWEEN_LINES


def _together(says: str) -> str:
    """Return a sentence whose lines do not end between a number and its sign or unit."""
    return says.replace("minus ", "minus\N{NO-BREAK SPACE}").replace(
        " °", "\N{NO-BREAK SPACE}°"
    )
