"""
Places for second doses, a grid of weeks and days: the number, the share that is taken, moves.

The share is a column from the floor of its field; a day that is closed is hatched and says so;
moved ones are counted in bold. There is no ramp of colours, and a share that nobody knows has
no column. "68 due": so many may have their second dose from that day on and have no place.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from thawline.draw.ink import INK, MUTED, RULE
from thawline.draw.svg import Box, Said, document, line, rectangle, words

_WIDE, _HIGH, _LEFT, _TOP, _MARGIN = 122.0, 112.0, 170.0, 84.0, 20.0
_TEXT, _SMALL, _NUMBER = 18.0, 15.0, 26.0
_DAY_AT, _NUMBER_AT, _OF_AT, _MOVED_AT, _DUE_AT = 17.0, 44.0, 64.0, 84.0, 104.0
_COLUMN, _INSIDE, _HATCH = 22.0, 6.0, 9.0


@dataclass(frozen=True, slots=True)
class Cell:
    """
    One day: people with a place, how many were moved to it, places; None: nobody said.

    `due`: whose second dose may be given from that day on, and who have no place.
    """

    day: date
    people: int
    moved: int
    places: int | None
    due: int = 0

    @property
    def closed(self) -> bool:
        """Say whether the site gives no places that day."""
        return self.places == 0


@dataclass(frozen=True, slots=True)
class Week:
    """One site's week, Monday first."""

    name: str
    cells: Sequence[Cell]


@dataclass(frozen=True, slots=True)
class SecondDays:
    """What is drawn."""

    title: str
    weeks: Sequence[Week]
    demo: bool = False


def says_of(cell: Cell) -> str:
    """Return what is said of one day."""
    if cell.closed:
        places = "closed"
    elif cell.places is None:
        places = "places not known"
    else:
        places = f"of {cell.places}"
    moved = f", {cell.moved} moved here" if cell.moved else ""
    due = f", {cell.due:,} fall due without a place" if cell.due else ""
    return f"{cell.day:%a} {cell.day.day} {cell.day:%b}: {cell.people} {places}{moved}{due}"


def second_days_svg(shown: SecondDays) -> str:
    """Return the picture for a page."""
    width = _LEFT + 7 * _WIDE + _MARGIN
    height = _TOP + len(shown.weeks) * _HIGH + _MARGIN
    told = "; ".join(says_of(cell) for week in shown.weeks for cell in week.cells)
    return document((width, height), Said("second-days", shown.title, f"{told}."), _body(shown))


def _body(shown: SecondDays) -> Iterator[str]:
    title = f"DEMO  {shown.title}" if shown.demo else shown.title
    yield words(title, (_MARGIN, _MARGIN + _TEXT / 2), _TEXT, font_weight="bold")
    for column, cell in enumerate(shown.weeks[0].cells if shown.weeks else ()):
        at = (_LEFT + _WIDE * column + _INSIDE, _TOP - _INSIDE)
        yield words(f"{cell.day:%a}", at, _SMALL, fill=MUTED)
    for row, week in enumerate(shown.weeks):
        top = _TOP + _HIGH * row
        yield words(week.name, (_MARGIN, top + _HIGH / 2), _SMALL)
        for column, cell in enumerate(week.cells):
            left = _LEFT + _WIDE * column
            yield from _cell(cell, Box(left, top, left + _WIDE, top + _HIGH))


def _cell(cell: Cell, box: Box) -> Iterator[str]:
    yield rectangle(box, fill="none", stroke=RULE, stroke_width=1)
    if cell.closed:
        yield from _hatched(box)
    left, top = box.left + _INSIDE, box.top
    day = f"{cell.day.day} {cell.day:%b}"
    yield words(day, (left, top + _DAY_AT), _SMALL, fill=MUTED)
    if cell.people or cell.places:
        yield words(f"{cell.people:,}", (left, top + _NUMBER_AT), _NUMBER, font_weight="bold")
    told = INK if cell.closed else MUTED
    yield words(_of(cell), (left, top + _OF_AT), _SMALL, fill=told)
    yield from _share(cell, box)
    if cell.moved:
        moved = (left, top + _MOVED_AT)
        yield words(f"{cell.moved} moved", moved, _SMALL, font_weight="bold")
    if cell.due:
        yield words(f"{cell.due:,} due", (left, top + _DUE_AT), _SMALL)


def _of(cell: Cell) -> str:
    if cell.closed:
        return "closed"
    if cell.places is not None:
        return f"of {cell.places}"
    return "of ?" if cell.people else "?"


def _share(cell: Cell, box: Box) -> Iterator[str]:
    """Yield the column of the share taken; a full day reaches the top, an overfull one too."""
    if not cell.places:
        return
    right, floor = box.right - _INSIDE, box.bottom - _INSIDE
    high = (box.height - 2 * _INSIDE) * min(1.0, cell.people / cell.places)
    frame = Box(right - _COLUMN, box.top + _INSIDE, right, floor)
    yield rectangle(frame, fill="none", stroke=RULE, stroke_width=1)
    if high:
        yield rectangle(Box(right - _COLUMN, floor - high, right, floor), fill=INK)


def _hatched(box: Box) -> Iterator[str]:
    """Yield slanting lines over the right half of a field, beside its words."""
    left = box.left + box.width / 2
    for number in range(int((box.right - left) / _HATCH)):
        start = left + _HATCH * number
        right = min(start + _HATCH * 2, box.right)
        yield line((start, box.bottom), (right, box.top), stroke=RULE, stroke_width=1)
