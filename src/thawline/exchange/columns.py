"""Which column of a table is which: by its name, or as a person says; asked if two would do."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from thawline.base.errors import ExchangeError
from thawline.exchange.column_names import NAMES, Field
from thawline.exchange.tables import Cell, Row, Table

_HEAD_ROWS = 20  # a header stands near the top, below titles at most
_KNOWN = {name: field for field, names in NAMES.items() for name in names}


@dataclass(frozen=True, slots=True)
class Layout:
    """
    Where each field stands, by column number from 0.

    Args:
        header: The header's row.
        at: The column of each field that was found.
        unread: Names of the columns that are not read.
    """

    header: Row
    at: Mapping[Field, int]
    unread: tuple[str, ...]

    def cell(self, row: Row, field: Field) -> Cell:
        """Return what the row holds for the field; `""` when it holds nothing."""
        column = self.at.get(field)
        return "" if column is None or column >= len(row.cells) else row.cells[column]

    def shown(self) -> str:
        """Return the columns in words: "name = Nombre, born = Fecha de nacimiento"."""
        return ", ".join(
            f"{field} = {self.header.cells[column]}" for field, column in self.at.items()
        )


def folded(cell: Cell) -> str:
    """Return a text for comparing: small letters, no accents, one space between words."""
    plain = unicodedata.normalize("NFKD", str(cell))
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return " ".join(re.findall(r"[^\W_]+", bare.casefold()))


def recogniser(named: Mapping[Field, str]) -> "Recogniser":
    """Return what counts the known column names in a row."""
    return Recogniser(frozenset(folded(name) for name in named.values()))


@dataclass(frozen=True, slots=True)
class Recogniser:
    """Counts the cells that are names of columns, known ones and those the person gave."""

    given: frozenset[str]

    def __call__(self, cells: Sequence[Cell]) -> int:
        """Return how many different fields the row names."""
        words = {folded(cell) for cell in cells}
        return len({_KNOWN[word] for word in words & _KNOWN.keys()} | (words & self.given))


def read_named(pairs: Sequence[str]) -> dict[Field, str]:
    """
    Return the columns named by the person, from "field=header" texts.

    Raises:
        ExchangeError: One of them is not of that form, or names no field.
    """
    named = {}
    for pair in pairs:
        field, equals, header = pair.partition("=")
        if not equals or field.strip() not in list(Field):
            raise ExchangeError(
                f"not a column and its name: {pair!r}",
                advice=f"write field=header, with one of {', '.join(Field)}",
            )
        named[Field(field.strip())] = header.strip()
    return named


def find_layout(table: Table, named: Mapping[Field, str]) -> Layout:
    """
    Return where the fields stand in a table of bookings.

    Raises:
        ExchangeError: There is no header, a named column is not there, two columns could be
            the same field, or there is nothing to tell the time or the person by.
    """
    header = _header(table, recogniser(named))
    words = [folded(cell) for cell in header.cells]
    at = {field: _column(field, name, words, header) for field, name in named.items()}
    taken = set(at.values())
    for column, word in enumerate(words):
        field = _KNOWN.get(word)
        if field is None or column in taken or field in named:
            continue
        if field in at:
            raise _which(field, header.cells[at[field]], header.cells[column])
        at[field] = column
    chosen = _one_time(_given_name(at), named)
    _check_enough(chosen, header)
    unread = tuple(
        str(cell) for i, cell in enumerate(header.cells) if i not in chosen.values() and cell
    )
    return Layout(header, {field: chosen[field] for field in Field if field in chosen}, unread)


def _header(table: Table, recognises: Recogniser) -> Row:
    if not table.rows:
        raise ExchangeError("the file has no rows", advice="export it again, with its header")
    best = max(table.rows[:_HEAD_ROWS], key=lambda row: recognises(row.cells))
    if recognises(best.cells) == 0:
        seen = ", ".join(str(cell) for cell in table.rows[0].cells[:8])
        raise ExchangeError(
            f"no line with known column names; line {table.rows[0].line} has: {seen}",
            advice="name the columns, as in --column name=Patient --column slot=Appointment",
        )
    return best


def _column(field: Field, name: str, words: Sequence[str], header: Row) -> int:
    places = [column for column, word in enumerate(words) if word == folded(name)]
    if len(places) == 1:
        return places[0]
    found = ", ".join(str(cell) for cell in header.cells)
    problem = "no column" if not places else "more than one column"
    raise ExchangeError(
        f"{problem} called {name!r} for {field}; there are: {found}",
        advice="name one of them with --column, or rename it in the file",
    )


def _which(field: Field, one: Cell, other: Cell) -> ExchangeError:
    return ExchangeError(
        f"two columns could be the {field}: {one!s} and {other!s}",
        advice=f"say which, as in --column {field}='{one!s}'",
    )


def _given_name(at: Mapping[Field, int]) -> dict[Field, int]:
    """Return the fields with "Nombre" beside "Apellidos" taken as the given name."""
    if Field.FAMILY in at and Field.GIVEN not in at and Field.NAME in at:
        return {Field.GIVEN if f is Field.NAME else f: column for f, column in at.items()}
    return dict(at)


def _one_time(at: Mapping[Field, int], named: Mapping[Field, str]) -> dict[Field, int]:
    """Return the fields with one way to tell the time: a slot, or a date and a time."""
    apart = {Field.DATE, Field.TIME} & at.keys()
    if Field.SLOT not in at or not apart:
        return dict(at)
    if Field.SLOT in named and not apart & named.keys():
        return {field: column for field, column in at.items() if field not in apart}
    if Field.SLOT not in named and apart == {Field.DATE, Field.TIME} <= named.keys():
        return {field: column for field, column in at.items() if field is not Field.SLOT}
    raise ExchangeError(
        "both a slot and a date or time column: which one is the booking",
        advice="say --column slot=NAME, or --column date=NAME --column time=NAME",
    )


def _check_enough(at: Mapping[Field, int], header: Row) -> None:
    found = ", ".join(str(cell) for cell in header.cells)
    if Field.SLOT not in at and not {Field.DATE, Field.TIME} <= at.keys():
        raise ExchangeError(
            f"no column for the date and time of the booking; there are: {found}",
            advice="say --column slot=NAME, or --column date=NAME --column time=NAME",
        )
    if not {Field.PERSON, Field.NAME, Field.GIVEN, Field.FAMILY} & at.keys():
        raise ExchangeError(
            f"no column that says who it is; there are: {found}",
            advice="say --column name=NAME or --column id=NAME",
        )
