"""
Doses against plan for a day to come: how many are given by each time, in all, as a band.

The plan is dashed: who is expected by then. The band holds 9 in 10 days, its median is a line,
and the end is said in words.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.draw.day_frame import SMALL, TEXT, band, framed, grid
from thawline.draw.ink import BANDS, INK, MUTED, RULE
from thawline.draw.svg import Box, polyline, words

_WIDTH = 60
_SURE, _RANGE, _PLAN = "=", "-", "|"
KEY = "= given on 19 days in 20   - up to here on 9 in 10 days   | expected by then"


@dataclass(frozen=True, slots=True)
class DosesAhead:
    """
    What is drawn; all numbers are counted from opening on.

    Args:
        title: Above the picture.
        ends: The opening and when each half hour ends, as people say it.
        planned: Doses for everybody who is expected by the end of each half hour.
        given: Low, median and high number given by then, on 9 in 10 days.
        says: Where the figures come from.
        demo: Everything in it is invented.
    """

    title: str
    ends: Sequence[str]
    planned: Sequence[float]
    given: Sequence[tuple[float, float, float]]
    says: str
    demo: bool = False


def in_words(doses: DosesAhead) -> str:
    """Return how many are given at the end of the day."""
    low, _, high = doses.given[-1]
    return f"by the end {low:,.0f} to {high:,.0f} doses on 9 in 10 days"


def doses_text(doses: DosesAhead) -> tuple[str, ...]:
    """Return the lines of the picture: one for each half hour."""
    most = max(doses.planned[-1], doses.given[-1][2])
    step = most / _WIDTH or 1
    head = f"{'by':<8}{'expected':>9}{'given':>12}"
    rows = []
    for end, planned, (low, _, high) in zip(
        doses.ends[1:], doses.planned, doses.given, strict=True
    ):
        strip = [" "] * (_WIDTH + 1)
        to, until = int(low // step), int(high // step)
        strip[to:until] = _RANGE * (until - to)
        strip[:to] = _SURE * to
        strip[int(planned // step)] = _PLAN
        between = f"{low:,.0f}-{high:,.0f}"
        rows.append(f"{end:<8}{planned:>9,.0f}{between:>12}  {''.join(strip).rstrip()}")
    last = in_words(doses)
    return (_titled(doses), head, *rows, KEY, f"{last[0].upper()}{last[1:]}.", doses.says)


def _titled(doses: DosesAhead) -> str:
    return f"DEMO  {doses.title}" if doses.demo else doses.title


def doses_body(doses: DosesAhead, box: Box) -> Iterator[str]:
    """Yield the picture within a box of a page."""
    plot = Box(box.left + 84, box.top + 64, box.right, box.bottom - 76)
    frame = framed(plot, doses.ends, max(doses.planned[-1], doses.given[-1][2]))
    low, median, high = (
        [frame.point(0, 0), *(frame.point(n + 1, row[k]) for n, row in enumerate(doses.given))]
        for k in range(3)
    )
    yield words(_titled(doses), (box.left, box.top + TEXT), TEXT, font_weight="bold")
    yield band(low, high, BANDS[1])
    yield from grid(frame, "")
    plan = [frame.point(0, 0), *(frame.point(n + 1, k) for n, k in enumerate(doses.planned))]
    yield polyline(plan, stroke=RULE, stroke_width=6, stroke_dasharray="9 6")
    yield polyline(median, stroke=INK, stroke_width=2)
    middle = len(doses.planned) // 2
    x, y = frame.point(middle + 1, doses.planned[middle])
    yield words("expected by then", (x - 12, y - 12), SMALL, text_anchor="end", fill=MUTED)
    under = box.bottom - 34
    last = in_words(doses)
    yield words(f"{last[0].upper()}{last[1:]}.", (box.left, under), SMALL, font_weight="bold")
    yield words(
        f"Dashed: expected by then. Line: given, the median; band: 9 in 10 days. {doses.says}",
        (box.left, under + SMALL + 8),
        SMALL - 1,
    )
