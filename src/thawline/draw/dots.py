"""
Equally likely days as dots, against the doses in hand: on a terminal and as SVG.

Each dot is one day. Days on which the doses do not do are filled, `*`, and stand beyond the
post, which says how many are in hand; nothing is said by colour.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.draw.ink import INK, MUTED, PAPER
from thawline.draw.svg import Box, Said, document, element, line, rectangle, words

_ENOUGH, _SHORT = "o", "*"
_LABEL = 4
_HEAD = "people still to come"

_CELL, _DOT, _MARGIN = 36.0, 9.0, 24.0
_TEXT, _SMALL = 18.0, 15.0
_PITCH = 22.0
_LETTER = 0.6  # of the size: a digit's width
_TOP = 96.0
_POST_ABOVE = 34.0
_MOST_COLUMNS = 24  # more different numbers than this are counted by twos, fives, tens ...
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


@dataclass(frozen=True, slots=True)
class Days:
    """What is drawn: how many come on each day, how many doses are in hand, and the words."""

    title: str
    come: Sequence[int]
    in_hand: int
    says: str
    demo: bool = False

    @property
    def short(self) -> int:
        """Return on how many days more come than doses are in hand."""
        return sum(each > self.in_hand for each in self.come)


def in_words(days: Days) -> str:
    """Return on how many of the days the doses do not do, and by how many."""
    if not days.short:
        return f"0 of {len(days.come)} days short"
    by = sorted(each - days.in_hand for each in days.come if each > days.in_hand)
    much = f"{by[0]}" if by[0] == by[-1] else f"{by[0]} to {by[-1]}"
    return f"{days.short} of {len(days.come)} days short, by {much}"


def dots_text(days: Days) -> tuple[str, ...]:
    """Return the lines of the picture: a number of people, its days, and the post."""
    step = _step(days)
    counts = Counter(_column(each, days, step) for each in days.come)
    wide = max([*counts.values(), len(_HEAD)]) + 1
    post = f"{days.in_hand} in hand"
    lines = [f"{_HEAD:<{_LABEL + 1 + wide}}{post}"]
    for first in _columns(days, step):
        mark = _SHORT if first > days.in_hand else _ENOUGH
        beyond = "| short" if first > days.in_hand else "|"
        row = f"{_named(first, step):>{_LABEL}} {mark * counts[first]:<{wide}}{beyond}"
        lines.append(row.rstrip())
    lines.append(f"{in_words(days)} ({_ENOUGH} enough, {_SHORT} short)")
    return (*lines, days.says)


def dots_svg(days: Days) -> str:
    """Return the picture for a page."""
    step = _step(days)
    columns = _columns(days, step)
    counts = Counter(_column(each, days, step) for each in days.come)
    floor = _TOP + _POST_ABOVE + _PITCH * max(counts.values())
    width = max(_MARGIN * 2 + _CELL * len(columns), 640.0)
    height = floor + _TOP
    said = Said("last-vial-days", days.title, f"{in_words(days)}. {_told(days)} {days.says}.")
    return document((width, height), said, _body(days, step, floor, width))


def _body(days: Days, step: int, floor: float, width: float) -> Iterator[str]:
    columns = _columns(days, step)
    counts = Counter(_column(each, days, step) for each in days.come)
    left = (width - _CELL * len(columns)) / 2
    demo = "DEMO  " if days.demo else ""
    yield words(
        f"{demo}{days.title}", (_MARGIN, _MARGIN + _TEXT / 2), _TEXT, font_weight="bold"
    )
    yield words(in_words(days), (_MARGIN, _MARGIN * 2 + _TEXT), _TEXT)
    yield line((_MARGIN, floor), (width - _MARGIN, floor), stroke=INK, stroke_width=2)
    every = _labels_apart(columns, step)
    for place, first in enumerate(columns):
        x = left + _CELL * (place + 1 / 2)
        if place % every == 0:
            yield words(_named(first, step), (x, floor + _PITCH), _SMALL, text_anchor="middle")
        for number in range(counts[first]):
            yield _dot((x, floor - _PITCH * (number + 1 / 2)), filled=first > days.in_hand)
    enough = sum(first <= days.in_hand for first in columns)
    post = left + _CELL * enough
    top = _TOP - _TEXT
    yield rectangle(Box(post - 2, top, post + 2, floor), fill=INK)
    label = {"font_weight": "bold"}
    yield words(
        f"{days.in_hand} in hand",
        (post - _DOT, top + _SMALL),
        _SMALL,
        text_anchor="end",
        **label,
    )
    yield words("short", (post + _DOT, top + _SMALL), _SMALL, **label)
    under = floor + _PITCH * 2
    yield words(f"{_HEAD}; filled: short", (width / 2, under), _SMALL, text_anchor="middle")
    yield words(
        days.says, (width / 2, under + _PITCH), _SMALL, fill=MUTED, text_anchor="middle"
    )


def _dot(at: tuple[float, float], *, filled: bool) -> str:
    x, y = at
    fill = INK if filled else PAPER
    return element("circle", cx=x, cy=y, r=_DOT, fill=fill, stroke=INK, stroke_width=2)


def _step(days: Days) -> int:
    """Return how many numbers of people share a column."""
    over = max(*days.come, days.in_hand) - min(*days.come, days.in_hand) + 2
    return next((step for step in _STEPS if over <= step * _MOST_COLUMNS), _STEPS[-1])


def _column(people: int, days: Days, step: int) -> int:
    """Return the first number of the column; a column never crosses the doses in hand."""
    beyond = people - days.in_hand - 1
    return days.in_hand + 1 + beyond // step * step


def _columns(days: Days, step: int) -> list[int]:
    low = _column(min(*days.come, days.in_hand), days, step)
    high = _column(max(*days.come, days.in_hand + 1), days, step)
    return list(range(low, high + 1, step))


def _named(first: int, step: int) -> str:
    shown = max(first, 0)
    last = first + step - 1
    return f"{shown}" if step == 1 or shown == last else f"{shown}-{last}"


def _labels_apart(columns: Sequence[int], step: int) -> int:
    """Return at every which column a label stands, so that none runs into the next."""
    longest = max(len(_named(first, step)) for first in columns)
    return 1 + int((longest + 1) * _LETTER * _SMALL // _CELL)


def _told(days: Days) -> str:
    counts = sorted(Counter(days.come).items())
    return "; ".join(f"{people} people: {count}" for people, count in counts) + "."
