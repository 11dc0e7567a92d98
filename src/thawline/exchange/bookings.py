"""
A table of bookings into rows that can be booked and rows that cannot, each with its reason.

Reading decides nothing about people: who a row is, and whether they may have the place, is
for the person's room. Names stay in the row; needs and languages become known words, because
the ledger keeps them for ever.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from thawline.base.errors import ExchangeError, ThawlineError
from thawline.base.instants import Instant, local_date
from thawline.exchange.column_names import (
    DOSE_WORDS,
    LANGUAGE_WORDS,
    NEEDS_WORDS,
    NO_WORDS,
    Field,
)
from thawline.exchange.columns import Layout, find_layout, folded
from thawline.exchange.dates import SHOWN, DateOrder, has_short_year, readings
from thawline.exchange.slots import Written, settle_writing, slot
from thawline.exchange.tables import Cell, Row, Table

OTHER = "other"
"""Stands for help or a language that the file names and we have no word for."""

_MOST_NAME = 120
_MOST_WORD = 40
_CODE = re.compile(r"[A-Z]{1,8}-\d{3,10}", re.ASCII)
_WHOLE = re.compile(r"(\d{1,3})(?:[.,]0+)?", re.ASCII)
_NO_NAME = frozenset(("nan", "NaN", "NAN", "null", "NULL", "#N/A", "N/A", "-"))
_JOINERS = "\u200c\u200d"  # needed inside names of some scripts


@dataclass(frozen=True, slots=True)
class Choices:
    """What the person said about a file, where it cannot tell by itself."""

    named: Mapping[Field, str] = field(default_factory=dict)
    date_order: DateOrder | None = None
    clock: str | None = None
    dose: int | None = None


@dataclass(frozen=True, slots=True)
class BookingRow:
    """One booking as the file has it; `dose_number` None where the file does not say."""

    line: int
    slot: Instant
    dose_number: int | None
    person: str | None = None
    name: str = ""
    born: date | None = None
    phone: str = ""
    mail: str = ""
    language: str = ""
    group: str = ""
    needs: str = ""


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that is not booked, and why."""

    line: int
    reason: str


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to know about a row that is booked all the same."""

    line: int
    says: str


@dataclass(frozen=True, slots=True)
class ReadBookings:
    """A whole file, read: every row below the header is in `rows` or in `bad`."""

    rows: tuple[BookingRow, ...]
    bad: tuple[BadRow, ...]
    remarks: tuple[Remark, ...]
    read_as: str
    not_said: tuple[str, ...]  # what the file does not say about anybody


def read_bookings(table: Table, zone: ZoneInfo, choices: Choices) -> ReadBookings:
    """
    Return the bookings in a table.

    Raises:
        ExchangeError: The columns, the order of dates or the clock cannot be told.
    """
    layout = find_layout(table, choices.named)
    below = [row for row in table.rows if row.line > layout.header.line]
    written = settle_writing(below, layout, choices.date_order, choices.clock)
    reader = _Reader(layout, written, zone, choices.dose)
    rows: list[BookingRow] = []
    bad: list[BadRow] = []
    for row in below:
        try:
            rows.append(reader.booking(row))
        except ThawlineError as error:
            bad.append(BadRow(row.line, error.says))
    remarks = tuple(remark for row in below for remark in reader.remarks(row))
    shown = [*table.read_as, *written.shown, f"columns: {layout.shown()}"]
    if layout.unread:
        shown.append(f"not read: {', '.join(layout.unread)}")
    return ReadBookings(
        tuple(rows), tuple(bad), remarks, "read as " + ", ".join(shown), reader.not_said()
    )


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads the rows of one file."""

    layout: Layout
    written: Written
    zone: ZoneInfo
    dose: int | None

    def booking(self, row: Row) -> BookingRow:
        """Return the booking in a row; raises ThawlineError with the reason it is none."""
        if len(row.cells) > len(self.layout.header.cells):
            raise ExchangeError(
                f"{len(row.cells)} cells, the header has {len(self.layout.header.cells)}"
            )
        at = slot(row, self.layout, self.written, self.zone)
        person, name = self._code(row), self._name(row)
        if person is None and not name:
            raise ExchangeError("neither a name nor a person's code")
        return BookingRow(
            line=row.line,
            slot=at,
            dose_number=self._dose(row),
            person=person,
            name=name,
            born=self._born(row, local_date(at, self.zone)),
            phone=_digits(self._cell(row, Field.PHONE)),
            mail=_word(self._cell(row, Field.MAIL), _MOST_NAME),
            language=known_word(self._cell(row, Field.LANGUAGE), LANGUAGE_WORDS),
            group=_word(self._cell(row, Field.GROUP), _MOST_WORD),
            needs=known_word(self._cell(row, Field.NEEDS), NEEDS_WORDS),
        )

    def remarks(self, row: Row) -> list[Remark]:
        """Return what is to be known about a row, whether it can be booked or not."""
        found = []
        if _is_short_year(self._cell(row, Field.BORN)):
            found.append("birth year of two digits: birth date not taken")
        code = self._cell(row, Field.PERSON)
        if folded(code) not in NO_WORDS and not _code(code):
            found.append("not a person's code, as in P-000123: not taken")
        if known_word(self._cell(row, Field.NEEDS), NEEDS_WORDS) == OTHER:
            found.append('help not among the known kinds: kept as "other", ask the person')
        if known_word(self._cell(row, Field.LANGUAGE), LANGUAGE_WORDS) == OTHER:
            found.append('language neither English nor Spanish: kept as "other"')
        return [Remark(row.line, says) for says in found]

    def not_said(self) -> tuple[str, ...]:
        """Return the fields that the file has no column for, and that a site would want."""
        wanted = (Field.BORN, Field.PHONE, Field.LANGUAGE, Field.DOSE)
        missing = [each for each in wanted if each not in self.layout.at]
        return tuple(each for each in missing if each is not Field.DOSE or self.dose is None)

    def _cell(self, row: Row, which: Field) -> Cell:
        return self.layout.cell(row, which)

    def _code(self, row: Row) -> str | None:
        return _code(self._cell(row, Field.PERSON))

    def _name(self, row: Row) -> str:
        whole = Field.NAME in self.layout.at
        fields = (Field.NAME,) if whole else (Field.GIVEN, Field.FAMILY)
        parts = [_clean_name(self._cell(row, which)) for which in fields]
        name = " ".join(part for part in parts if part)
        if len(name) > _MOST_NAME:
            raise ExchangeError(f"a name of {len(name)} letters; at most {_MOST_NAME}")
        return name

    def _born(self, row: Row, booked: date) -> date | None:
        cell = self._cell(row, Field.BORN)
        if folded(cell) in NO_WORDS or _is_short_year(cell):
            return None
        born = self.written.day(cell)
        if born is None:
            raise ExchangeError(
                f"no {SHOWN[self.written.order]} birth date: {str(cell)[:_MOST_WORD]!r}"
            )
        if born > booked:
            raise ExchangeError(f"birth date {born.isoformat()} after the booking")
        return born

    def _dose(self, row: Row) -> int | None:
        if Field.DOSE not in self.layout.at:
            return self.dose
        cell = self._cell(row, Field.DOSE)
        whole = _WHOLE.fullmatch(f"{cell:f}" if isinstance(cell, Decimal) else str(cell))
        number = DOSE_WORDS.get(whole[1] if whole else folded(cell))
        if number is None:
            raise ExchangeError(f"dose is neither 1 nor 2: {str(cell)[:_MOST_WORD]!r}")
        return number


def _code(cell: Cell) -> str | None:
    text = str(cell).strip().upper()
    return text if _CODE.fullmatch(text) else None


def _clean_name(cell: Cell) -> str:
    text = unicodedata.normalize("NFC", str(cell))
    if text in _NO_NAME:
        return ""
    kept = (
        letter
        for letter in text
        if letter in _JOINERS or not unicodedata.category(letter).startswith("C")
    )
    return " ".join("".join(kept).split())


def _word(cell: Cell, most: int) -> str:
    text = _clean_name(cell)
    return "" if folded(text) in NO_WORDS else text[:most]


def _digits(cell: Cell) -> str:
    text = f"{cell.normalize():f}" if isinstance(cell, Decimal) else str(cell)
    digits = re.sub(r"[^\d]", "", text, flags=re.ASCII)
    return f"+{digits}" if digits and text.strip().startswith("+") else digits


def known_word(cell: Cell, words: Mapping[str, str]) -> str:
    """Return our word for what a cell says; "other" for words we have none for."""
    text = folded(cell)
    return "" if text in NO_WORDS else words.get(text, OTHER)


def _is_short_year(cell: Cell) -> bool:
    return isinstance(cell, str) and bool(readings(cell)) and has_short_year(cell)
