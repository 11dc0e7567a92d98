"""
Whether a number inside a text is one of the file's figures.

Texts name figures by placeholders and then cannot disagree with them. A text that spells a
number out is held against the figures of the tables it is about, or of the whole file.
"""

import re
from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.base.findings import Level
from thawline.rules.lengths import read_hours, reading_of
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, Slip, unit_of
from thawline.rules.wordings import is_text

_HOURS_OF_TEXT = r"h(?:(?:ou)?rs?|oras?)?"
_UNITS = {
    "min": r"min(?:ut[eo]s?)?",
    "h": _HOURS_OF_TEXT,
    "d": r"d(?:ays?|ías?)?",
    "weeks": r"(?:weeks?|semanas?)",
    "C": r"°\s?C",
    "F": r"°\s?F",
    "mL": r"m[lL]",
    "doses": r"dos[ei]s",
}
_ANY_UNIT = "|".join(f"(?P<{name}>{pattern})" for name, pattern in _UNITS.items())
_NUMBER = r"[-\u2212]?\d{1,6}(?:[.,]\d{1,6})?"
_SPELT = re.compile(
    rf"(?<![\d.,])(?P<first>{_NUMBER})(?:\s*(?:to|a|-|\u2013|\u2026|\.\.)\s*(?P<second>{_NUMBER}))?"
    rf"\s?(?:{_ANY_UNIT})(?![\w])"
)
Figures = frozenset[tuple[str, Decimal]]

_IN_MINUTES = {"min": 1, "h": 60, "d": 24 * 60, "weeks": 7 * 24 * 60}


def misspoken_figures(leaves: Leaves) -> Iterator[Slip]:
    """Yield each number with a unit in a text that none of the figures it speaks of is."""
    about = _subjects(leaves)
    figures: dict[tuple[str, ...], Figures] = {}
    for key, leaf in leaves.items():
        if is_text(key):
            tables = tuple(about.get(key.rpartition(".says.")[0], ()))
            if tables not in figures:
                figures[tables] = _figures(_under(leaves, tables) if tables else leaves)
            yield from _in_text(figures[tables], key, str(leaf))


def _in_text(figures: Figures, key: str, text: str) -> Iterator[Slip]:
    for match in _SPELT.finditer(text):
        spelt = match.group()
        hours = read_hours(spelt)
        if hours is not None and hours.or_minutes is not None:
            yield Slip("ambiguous-duration", Level.ACT, key, f"{key}: {reading_of(spelt)}")
        elif not _amounts(match) <= figures:
            says = f'{key} says "{spelt}", which none of the figures it is about is'
            yield Slip("text-differs", Level.STOP, key, says)


def _subjects(leaves: Leaves) -> dict[str, list[str]]:
    """Return the tables that each lesson is about."""
    found: dict[str, list[str]] = {}
    for key, leaf in leaves.items():
        lesson, about, _ = key.rpartition(".about.")
        if about:
            found.setdefault(lesson, []).append(f"{leaf}.")
    return found


def _under(leaves: Leaves, tables: tuple[str, ...]) -> Leaves:
    return {key: leaf for key, leaf in leaves.items() if key.startswith(tables)}


def _figures(leaves: Leaves) -> Figures:
    found = (_figure(key, leaf) for key, leaf in leaves.items())
    return frozenset(figure for figure in found if figure is not None)


def _figure(key: str, leaf: Leaf) -> tuple[str, Decimal] | None:
    if isinstance(leaf, Allowance):
        return ("min", Decimal(leaf.longest() // timedelta(minutes=1)))
    if isinstance(leaf, int | Decimal) and not isinstance(leaf, bool):
        return (unit_of(key, leaf) or "doses", Decimal(leaf))
    return None


def _amounts(match: re.Match[str]) -> Figures:
    unit = next(name for name in _UNITS if match[name])
    per_unit = _IN_MINUTES.get(unit, 1)
    kind = "min" if unit in _IN_MINUTES else unit
    numbers = [text for text in (match["first"], match["second"]) if text]
    return frozenset((kind, _decimal(text) * per_unit) for text in numbers)


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", ".").replace("\u2212", "-"))
