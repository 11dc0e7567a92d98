"""
Degrees Celsius or Fahrenheit, as a file says it: over a column, behind each value, or above.

A unit over the column, behind its values or on a line about units settles it. A limit in the
header ("high limit 46 °F") only counts where nothing else does. Two that differ are refused.
"""

import re
from collections.abc import Iterable, Sequence

from thawline.base.errors import ExchangeError
from thawline.exchange.columns import folded
from thawline.exchange.loggers.cells import number_in
from thawline.exchange.loggers.layout import Unit
from thawline.exchange.loggers.lines import Row
from thawline.exchange.loggers.said import Said, differing
from thawline.exchange.loggers.words import TEMPERATURE_WORDS

_MENTION = re.compile(
    r"(?:[°º˚�]|\bdeg(?:rees?)?\b\.?|\bgrados\b)\s?(?P<sign>[CF])\b"
    r"|\b(?P<word>celsius|centigrade|cent[ií]grados|fahrenheit)\b"
    r"|[\[(]\s?(?P<bracket>[CF])\s?[\])]",
    re.IGNORECASE,
)
_UNIT_LINE = re.compile(
    r"\b(?:units?|unidad(?:es)?|scale|escala)\b\W{1,5}(?:\w{1,20}\W{1,5}){0,2}?(?P<unit>[CF])\b",
    re.IGNORECASE,
)
_BEFORE_A_LIMIT = re.compile(r"\d\s{0,3}$")
_LETTERS = {"c": Unit.CELSIUS, "f": Unit.FAHRENHEIT}
_TOKENS = {
    **dict.fromkeys(("degc", "tempc"), Unit.CELSIUS),
    **dict.fromkeys(("degf", "tempf"), Unit.FAHRENHEIT),
}
_ASK = "say --unit C or --unit F, as the logger's display or its manual has it"


def units_in(text: str) -> set[Unit]:
    """Return the units that a text mentions, with or without a number before them."""
    return {_of(match) for match in _MENTION.finditer(text)} | set(_unit_line(text))


def unit_of_name(name: str, others: Sequence[str]) -> Unit | None:
    """
    Return the unit in a column's name; None where there is none, or both.

    A lone letter, as in "Temp C", is a unit only where no other column has another letter
    there: beside "Temp A" and "Temp B" it is the third probe.
    """
    found = units_in(name)
    if found:
        return found.pop() if len(found) == 1 else None
    words = folded(name).split()
    known = [_TOKENS[word] for word in words if word in _TOKENS]
    if known or len(words) < 2:  # noqa: PLR2004  a word and a letter
        return known[0] if known else None
    if words[-1] in _LETTERS and words[-2] in TEMPERATURE_WORDS and not _lettered(others):
        return _LETTERS[words[-1]]
    return None


def stated_units(rows: Iterable[Row]) -> tuple[list[Said[Unit]], list[Said[Unit]]]:
    """Return the units that lines above a table state, and those only mentioned with limits."""
    stated: list[Said[Unit]] = []
    with_limits: list[Said[Unit]] = []
    for row in rows:
        text = " ".join(row.cells)
        plain = [
            _of(match)
            for match in _MENTION.finditer(text)
            if not _BEFORE_A_LIMIT.search(text[: match.start()])
        ]
        said = {*plain, *_unit_line(text)}
        if len(said) == 1:
            stated.append(Said(said.pop(), row.line, text))
        elif not said and len(mentioned := units_in(text)) == 1:
            with_limits.append(Said(mentioned.pop(), row.line, text))
    return stated, with_limits


def restated_units(rows: Iterable[Row]) -> list[Said[Unit]]:
    """Return the units that lines below a table state: a second header does, no summary."""
    stated, _ = stated_units(
        row for row in rows if not any(number_in(cell) for cell in row.cells)
    )
    return stated


def units_behind_values(rows: Iterable[Row], column: int) -> list[Said[Unit]]:
    """Return the unit behind each value of a column that has one."""
    found = []
    for row in rows:
        cell = row.cells[column] if column < len(row.cells) else ""
        number = number_in(cell)
        if number and number.unit in ("C", "F"):
            found.append(Said(Unit(number.unit), row.line, cell))
    return found


def settled_unit(
    strong: Sequence[Said[Unit]], weak: Sequence[Said[Unit]], asked: Unit | None, name: str
) -> tuple[Unit, Said[Unit] | None]:
    """
    Return the unit of a column, and where the file says so; None where the person did.

    Raises:
        ExchangeError: Nothing says it, or two things say different ones.
    """
    found = list(strong) or list(weak)
    if other := differing(found):
        raise two_units(found[0], other)
    if found and asked is not None and found[0].value is not asked:
        raise ExchangeError(
            f"--unit {asked} was given, but the file says °{found[0].value} "
            f"({found[0].shown()})",
            advice="leave out --unit, or look whether this is the right file",
        )
    if strong and asked is None and weak and (other := differing([strong[0], *weak])):
        raise two_units(
            strong[0], other, f"; say --unit {strong[0].value} if only limits differ"
        )
    if found:
        return found[0].value, found[0]
    if asked is None:
        raise ExchangeError(f"no unit: nothing says whether {name} is in °C or °F", advice=_ASK)
    return asked, None


def two_units(one: Said[Unit], other: Said[Unit], hint: str = "") -> ExchangeError:
    """Return the refusal of a file with two units."""
    return ExchangeError(
        f"two units in one file: °{one.value} ({one.shown()}) and "
        f"°{other.value} ({other.shown()})",
        advice=f"export it again in one unit, or split it where the unit changes{hint}",
    )


def _of(match: re.Match[str]) -> Unit:
    letter = (match["sign"] or match["word"] or match["bracket"])[0]
    return Unit(letter.upper())


def _unit_line(text: str) -> list[Unit]:
    match = _UNIT_LINE.search(text)
    return [Unit(match["unit"].upper())] if match else []


def _lettered(names: Sequence[str]) -> bool:
    """Say whether temperature columns are told apart by letters: Temp A, Temp B, Temp C."""
    words = [folded(name).split() for name in names]
    letters = {
        each[-1]
        for each in words
        if len(each) > 1 and len(each[-1]) == 1 and each[-2] in TEMPERATURE_WORDS
    }
    return bool({letter for letter in letters if letter.isalpha()} - _LETTERS.keys())
