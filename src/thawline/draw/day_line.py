"""
The day line: bookings, doses given, open vials and what is thawing, on one wall-clock axis.

Outlined bars are places booked in an hour, solid ones doses given in it. Below stand the open
vials as thread strips, then what is warming and what is chilled, by texture; one post is now.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.base.instants import Instant, local_time
from thawline.draw.ink import HAND, INK, PAPER, RULE
from thawline.draw.sheet import DAY_ON_TABLET, Sheet
from thawline.draw.strips import GAP, HEIGHT, Strip, ends_of, strip_rows
from thawline.draw.svg import Box, Said, document, line, rectangle, words
from thawline.draw.time_axis import TimeAxis, axis_between, axis_drawn

_HOUR = timedelta(hours=1)
_LEGEND = 24.0  # above the bars, where there is no room left of them
_TOP, _BARS, _AXIS, _BATCH = 40.0, 110.0, 62.0, 26.0
_TEXT, _SMALL = 18.0, 15.0
_MONO = "Atkinson Hyperlegible Mono, monospace"
_NARROW, _APART = 0.16, 1.5


@dataclass(frozen=True, slots=True)
class Hour:
    """An hour of the day: places booked in it, doses given in it."""

    starts: Instant
    booked: int
    given: int


@dataclass(frozen=True, slots=True)
class Batch:
    """Vials on their way: the word of their state, how many, and what is known of when."""

    word: str
    vials: int
    says: str
    starts: Instant
    ends: Instant


@dataclass(frozen=True, slots=True)
class DayLine:
    """
    What the day line shows; `hours` follow each other without a gap.

    `until`: the last moment at which the picture is looked at. A vial that comes to its use-by
    before it is shown as past: a moment early, and never late.
    """

    hours: Sequence[Hour]
    strips: Sequence[Strip]
    batches: Sequence[Batch]
    now: Instant
    until: Instant
    zone: ZoneInfo


def day_line_svg(day: DayLine, sheet: Sheet = DAY_ON_TABLET) -> str:
    """
    Return the picture of a day.

    Raises:
        RecordError: It is too long for one picture.
    """
    axis = _axis(day, sheet)
    top = _TOP if _beside(sheet) else _TOP + _LEGEND
    base = top + _BARS
    strips_top = base + _AXIS
    batches_top = strips_top + len(day.strips) * (HEIGHT + GAP) + GAP / 2
    bottom = batches_top + len(day.batches) * (_BATCH + GAP)
    body = [
        *_legend(sheet, base),
        *_bars(day, axis, base),
        *axis_drawn(axis, base),
        *strip_rows(day.strips, day.until, axis, (strips_top, HEIGHT), sheet),
        *_batches(day, axis, batches_top, sheet),
        *_now(day, axis, (top, bottom if _beside(sheet) else batches_top)),
    ]
    said = Said(f"day-line{sheet.name}", "The day so far", in_words(day))
    return document((sheet.width, bottom), said, body)


def _beside(sheet: Sheet) -> bool:
    """Say whether a sheet has room for sentences beside what they are about."""
    return sheet.left >= DAY_ON_TABLET.left


def in_words(day: DayLine) -> str:
    """Return what the day line shows, for those who do not see it."""
    hours = "; ".join(
        f"from {_clock(day, each.starts)} {each.booked} booked, {each.given} given"
        for each in day.hours
        if each.booked or each.given
    )
    strips = ". ".join(each.in_words(day.until, day.zone) for each in day.strips)
    batches = ". ".join(f"{_vials(each)} {each.word}, {each.says}" for each in day.batches)
    parts = [f"Now {_clock(day, day.now)}", hours or "nobody is booked", strips, batches]
    return ". ".join(part for part in parts if part) + "."


def _axis(day: DayLine, sheet: Sheet) -> TimeAxis:
    moments = [day.now]
    if day.hours:
        moments += [day.hours[0].starts, Instant(day.hours[-1].starts + _HOUR)]
    if day.strips:
        moments += ends_of(day.strips, day.now)
    return axis_between(min(moments), max(moments), day.zone, sheet.edges)


def _legend(sheet: Sheet, base: float) -> Iterator[str]:
    if _beside(sheet):
        yield words("Booked (outline)", (0, base - 34), _SMALL)
        yield words("Given (solid)", (0, base - 12), _SMALL)
    else:
        yield words("Booked (outline), given (solid)", (0, _SMALL), _SMALL)


def _bars(day: DayLine, axis: TimeAxis, base: float) -> Iterator[str]:
    most = max([1, *(max(each.booked, each.given) for each in day.hours)])
    top = base - _BARS
    for each in day.hours:
        left, right = axis.x(each.starts), axis.x(Instant(each.starts + _HOUR))
        inset = (right - left) * _NARROW
        yield from _bar(
            each.booked, most, Box(left + _APART, top, right - _APART, base), solid=False
        )
        inner = Box(left + inset, top, right - inset, base)
        yield from _bar(each.given, most, inner, solid=True)


def _bar(count: int, most: int, box: Box, *, solid: bool) -> Iterator[str]:
    if not count:
        return
    top = box.bottom - box.height * count / most
    bar = Box(box.left, top, box.right, box.bottom)
    fill = INK if solid else "none"
    yield rectangle(bar, fill=fill, stroke=INK if solid else RULE, stroke_width=1.5)


def _batches(day: DayLine, axis: TimeAxis, top: float, sheet: Sheet) -> Iterator[str]:
    for row, each in enumerate(day.batches):
        y = top + row * (_BATCH + GAP)
        box = Box(
            axis.x(each.starts), y, max(axis.x(each.ends), axis.x(each.starts) + 24), y + _BATCH
        )
        yield words(each.word.capitalize(), (0, y + _TEXT), _TEXT, font_weight="bold")
        yield rectangle(box, fill=PAPER, stroke=INK, stroke_width=1.5)
        yield from _texture(each.word, box)
        yield from _said_of(each, box, sheet)


def _said_of(batch: Batch, box: Box, sheet: Sheet) -> Iterator[str]:
    """Yield what is known of a batch: beside its box, below it, or within it."""
    says = f"{_vials(batch)}, {batch.says}"
    after, base = box.right + 12, box.top + _TEXT
    if not _beside(sheet):
        yield words(says, (0, box.bottom + _SMALL), _SMALL)
    elif after + len(says) * _SMALL / 2 < sheet.width:
        yield words(says, (after, base), _SMALL)
    else:
        over = Box(box.left + 12, box.top + 3, box.left + 24 + len(says) * 7.6, box.bottom - 3)
        yield rectangle(over, fill=PAPER)
        yield words(says, (box.left + 18, base), _SMALL)


def _vials(batch: Batch) -> str:
    return "1 vial" if batch.vials == 1 else f"{batch.vials} vials"


def _texture(word: str, box: Box) -> Iterator[str]:
    """Yield the texture of a state: chevrons warming, slant chilled, fading dots thawing."""
    step = {"warming": 14.0, "chilled": 12.0, "thawing": 10.0}.get(word)
    if step is None:
        return
    for n in range(int((box.width - 2) // step)):
        x = box.left + 1 + n * step
        right = min(x + step, box.right)
        middle = (box.top + box.bottom) / 2
        if word == "warming":
            yield line((x, box.top), (right, middle), stroke=INK, stroke_width=2)
            yield line((right, middle), (x, box.bottom), stroke=INK, stroke_width=2)
        elif word == "chilled":
            yield line((x, box.bottom), (right, box.top), stroke=INK, stroke_width=2)
        else:
            size = 1.0 + 3.0 * (1 - n * step / box.width)
            yield rectangle(Box(x, middle - size, x + size, middle), fill=INK)


def _now(day: DayLine, axis: TimeAxis, down: tuple[float, float]) -> Iterator[str]:
    x, (top, bottom) = axis.x(day.now), down
    yield line((x, top - 14), (x, bottom), stroke=HAND, stroke_width=4)
    yield rectangle(Box(x - 38, top - 40, x + 38, top - 14), fill=HAND)
    yield words(
        _clock(day, day.now),
        (x, top - 20),
        _TEXT,
        text_anchor="middle",
        fill=PAPER,
        font_family=_MONO,
        font_weight="bold",
    )


def _clock(day: DayLine, at: Instant) -> str:
    return local_time(at, day.zone).strftime("%H:%M")
