"""
Open vials as thread strips: length is the time left, the number of lines the doses left.

The same picture as the terminal's threads (`threads.py`), in SVG: a thin line for the time
gone, one line a dose for the time left, an end post at the use-by with its clock time beside
it. It needs no colour and survives a photocopier. Where it cannot be known, no line is drawn.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, last_minute
from thawline.draw.ink import HAND, INK, PAPER, RULE
from thawline.draw.sheet import TABLET, Sheet
from thawline.draw.svg import Box, Said, document, line, rectangle, words
from thawline.draw.time_axis import TimeAxis, axis_between, axis_drawn, hours_behind

ROWS = 10
"""Equal rows in a strip, filled from the bottom: a vial holds about so many doses."""
HEIGHT = 34.0
_INK_SHARE, _LEAST_PX = 0.62, 2.0
_POST_PX, _POST_OVER_PX = 5.0, 4.0
_SOON = timedelta(minutes=45)
_DOSES_END_SHARE = 0.12  # of the room left of the axis
GAP = 24.0
_HEAD = 34.0
_TEXT, _SMALL = 18.0, 15.0
_KEPT_AT_MOST = 2000
_MONO = "Atkinson Hyperlegible Mono, monospace"


@dataclass(frozen=True, slots=True)
class Strip:
    """An open vial; `use_by` None: nobody knows until when it may be used."""

    code: str
    doses: int
    opened: Instant
    use_by: Instant | None
    held: bool = False

    def in_words(self, now: Instant, zone: ZoneInfo) -> str:
        """Return what the strip shows, for those who do not see it."""
        doses = "1 dose" if self.doses == 1 else f"{self.doses} doses"
        if self.held:
            return f"Vial {self.code}, {doses}, held: do not use"
        if self.use_by is None:
            return f"Vial {self.code}, {doses}, use by not known: do not use"
        clock = last_minute(self.use_by, zone)[1].strftime("%H:%M")
        if self.use_by <= now:
            return f"Vial {self.code}, {doses}, past its use-by {clock}: do not use"
        return f"Vial {self.code}, {doses} left, use by {clock}, {_left(self.use_by - now)}"


def strips_svg(
    strips: Sequence[Strip],
    now: Instant,
    zone: ZoneInfo,
    height: float = HEIGHT,
    sheet: Sheet = TABLET,
) -> str:
    """
    Return the picture of open vials on one axis, in the order given.

    Raises:
        RecordError: They are too far apart in time for one picture.
    """
    axis = axis_between(*ends_of(strips, now), zone, sheet.edges)
    bottom = _HEAD + len(strips) * (height + GAP) - GAP / 2
    sentences = (each.in_words(now, zone) for each in strips)
    said = Said(f"strips{sheet.name}", "Open vials", ". ".join(sentences) + ".")
    post = axis.x(now)
    body = [
        *hours_behind(axis, _HEAD - GAP / 2, bottom),
        *strip_rows(strips, now, axis, (_HEAD, height), sheet),
        line((post, _HEAD - GAP), (post, bottom), stroke=HAND, stroke_width=3),
        *axis_drawn(axis, bottom),
    ]
    return document((sheet.width, bottom + _HEAD), said, body)


def ends_of(strips: Sequence[Strip], now: Instant) -> tuple[Instant, Instant]:
    """Return the first and the last moment that the strips and the present need."""
    ends = [each.use_by for each in strips if each.use_by is not None]
    return min(now, *(each.opened for each in strips)), max([now, *ends])


def strip_rows(
    strips: Sequence[Strip],
    now: Instant,
    axis: TimeAxis,
    down: tuple[float, float],
    sheet: Sheet,
) -> Iterator[str]:
    """Yield the strips below each other, with code, doses and clock time; top and height."""
    top, height = down
    for row, each in enumerate(strips):
        y = top + row * (height + GAP)
        base = y + height / 2 + sheet.code / 3
        bold = {"font_family": _MONO, "font_weight": "bold"}
        yield words(each.code, (axis.left - sheet.left, base), sheet.code, **bold)
        doses_end = axis.left - sheet.left * _DOSES_END_SHARE
        yield words(str(each.doses), (doses_end, base), sheet.code, text_anchor="end", **bold)
        yield _strip(each, now, axis, Box(axis.left, y, axis.right, y + height))


@lru_cache(_KEPT_AT_MOST)
def _strip(each: Strip, now: Instant, axis: TimeAxis, box: Box) -> str:
    """Return a strip; the same one at the same moment is drawn once."""
    return "".join(_parts(each, now, axis, box))


def _parts(each: Strip, now: Instant, axis: TimeAxis, box: Box) -> Iterator[str]:
    middle = (box.top + box.bottom) / 2
    until = each.use_by
    gone = axis.x(now if until is None else min(now, until))
    yield line((axis.x(each.opened), middle), (gone, middle), stroke=RULE, stroke_width=2)
    if until is None:
        yield words("? not known", (gone + 8, middle + _SMALL / 3), _SMALL)
        return
    post = axis.x(until)
    if each.held:
        yield from _hatched(Box(gone, box.top, max(post, gone + 1), box.bottom))
    elif until > now:
        yield from _lines(each.doses, Box(gone, box.top, post, box.bottom))
    wide = _POST_PX * (2 if until - now < _SOON else 1)
    top, bottom = box.top - _POST_OVER_PX, box.bottom + _POST_OVER_PX
    yield rectangle(Box(post - wide / 2, top, post + wide / 2, bottom), fill=INK)
    clock = f"{last_minute(until, axis.zone)[1]:%H:%M}"
    word = "HELD" if each.held else "PAST" if until <= now else clock
    yield words(
        word, (post + 10, middle + _TEXT / 3), _TEXT, font_family=_MONO, font_weight="bold"
    )


def _lines(doses: int, box: Box) -> Iterator[str]:
    """Yield one line a dose, from the bottom; more than fit share the height."""
    rows = max(ROWS, doses)
    pitch = box.height / rows
    thick = max(_LEAST_PX, pitch * _INK_SHARE)
    for row in range(doses):
        y = box.bottom - row * pitch - thick
        yield rectangle(Box(box.left, y, box.right, y + thick), fill=INK)


def _hatched(box: Box) -> Iterator[str]:
    """Yield a cross-hatch: held."""
    yield rectangle(box, fill=PAPER, stroke=INK, stroke_width=2)
    step = 10.0
    count = int(box.width // step) + 1
    for n in range(count):
        left, right = box.left + n * step, min(box.left + (n + 1) * step, box.right)
        yield line((left, box.top), (right, box.bottom), stroke=INK, stroke_width=1.5)
        yield line((left, box.bottom), (right, box.top), stroke=INK, stroke_width=1.5)


def _left(left: timedelta) -> str:
    minutes = int(left.total_seconds() // 60)
    hours, rest = divmod(minutes, 60)
    says = " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest or not hours))
    return f"{says} left"
