"""The stations of a site: a TOML file that somebody gives, or the example that is shipped."""

import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

from thawline.base.errors import NotFoundError, RecordError
from thawline.plan.chairs import Stay
from thawline.plan.clinic_day import ClinicStation, Line
from thawline.plan.quantile_tables import Law, lognormal, normal
from thawline.plan.replay import Example
from thawline.plan.shifts import ShiftRule

_MOST_BYTES = 1 << 20
_HALF_HOURS = 2  # in an hour
_SHIFT = ("hours", "break_from_h", "break_until_h")
_DAY_MIN = 24 * 60
_MOST = 1e6  # a technical limit on any figure of the file: a dozen days in seconds


@dataclass(frozen=True, slots=True)
class Stations:
    """
    What a file says of a site's stations.

    Args:
        stations: In the order in which people pass them, one person serving each.
        takes_s: Mean seconds at each, as written.
        stays: Under observation.
        punctuality: How late booked people come.
        shift: Of those who work.
        says: Where the times come from, in words.
        drawing: Of one dose at the draw table; of the example where the file has none.
        drawing_says: Where that comes from.
    """

    stations: tuple[ClinicStation, ...]
    takes_s: tuple[float, ...]
    stays: tuple[Stay, ...]
    punctuality: Law
    shift: ShiftRule
    says: str
    drawing: Law
    drawing_says: str


def stations_in(path: str | None) -> Stations:
    """
    Return the stations of a file; None: those of the shipped example.

    Raises:
        NotFoundError: There is no such file.
        RecordError: Something in it cannot be; the key is named.
    """
    if path is None:
        text, name = (files("thawline.plan") / "stations.toml").read_text(), "the example"
    else:
        text, name = _text(Path(path)), path
    try:
        given = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RecordError(f"{name}: {error}", advice="correct that line") from error
    return _stations(_Table(name, "", given))


def example_in(path: str | None) -> Example:
    """Return what a file of stations says; its last station is the chair."""
    told = stations_in(path)
    return Example(
        before_chair=timedelta(seconds=sum(told.takes_s[:-1])),
        chair=told.stations[-1].service,
        drawing=told.drawing,
        says=told.says,
        drawing_says=told.drawing_says,
    )


@dataclass(frozen=True, slots=True)
class _Table:
    """A table of the file, and how to speak of what is in it."""

    file: str
    called: str
    given: Mapping[str, Any]

    def number(self, key: str) -> float:
        """Return a number that must be there."""
        value = self.given.get(key)
        if (
            not isinstance(value, int | float)
            or isinstance(value, bool)
            or not abs(value) <= _MOST
        ):
            raise RecordError(
                f"{self.file}: {self.called}{key} is {value!r}", advice="write a number there"
            )
        return float(value)

    def within(self, key: str, most: float) -> float:
        """Return a number that must be there, from 0 to that."""
        value = self.number(key)
        if not 0 <= value <= most:
            raise RecordError(
                f"{self.file}: {self.called}{key} is {value:g}", advice=f"from 0 to {most:g}"
            )
        return value

    @contextmanager
    def named(self) -> Iterator[None]:
        """Put file and table before whatever cannot be made of what stands in it."""
        try:
            yield
        except RecordError as error:
            where = f"{self.file}: {self.called.rstrip(': .')}"
            raise RecordError(f"{where}: {error}", advice=error.advice) from error

    def text(self, key: str) -> str:
        """Return a text that must be there."""
        value = self.given.get(key)
        if not isinstance(value, str) or not value.strip():
            raise RecordError(
                f"{self.file}: {self.called}{key} is {value!r}", advice="write it as text"
            )
        return value

    def table(self, key: str) -> "_Table":
        """Return a table in it that must be there."""
        value = self.given.get(key)
        if not isinstance(value, dict):
            raise RecordError(
                f"{self.file}: there is no [{self.called}{key}]", advice="see the example"
            )
        return _Table(self.file, f"{key}.", value)


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return file.read(_MOST_BYTES).decode()
    except OSError as error:
        raise NotFoundError(f"cannot read {path}: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise RecordError(f"{path} is not UTF-8 text", advice="save it as UTF-8") from error


def _stations(root: _Table) -> Stations:
    rows = root.given.get("station")
    if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
        raise RecordError(f"{root.file}: there is no [[station]]", advice="name at least one")
    tables = [_Table(root.file, f"station {n}: ", row) for n, row in enumerate(rows, 1)]
    watch, late, work = (root.table(key) for key in ("observation", "punctuality", "shift"))
    for table in (*tables, watch, late, work):
        _check_source(root, table)
    share = watch.within("longer_share", 1)
    hours = [round(work.number(key) * _HALF_HOURS) for key in _SHIFT]
    with work.named():
        shift = ShiftRule(*hours)
    drawing, drawing_says = _drawing(root)
    return Stations(
        stations=tuple(_station(table) for table in tables),
        takes_s=tuple(table.number("takes_s") for table in tables),
        stays=(
            Stay(_minutes(watch.within("shorter_min", _DAY_MIN)), 1 - share),
            Stay(_minutes(watch.within("longer_min", _DAY_MIN)), share),
        ),
        punctuality=normal(
            -_minutes(late.number("early_min")), _minutes(late.within("varies_min", _DAY_MIN))
        ),
        shift=shift,
        says=_says(root, tables),
        drawing=drawing,
        drawing_says=drawing_says,
    )


def _drawing(root: _Table) -> tuple[Law, str]:
    """Return how long a dose is in drawing, and who says so; a file may leave it out."""
    if "draw_table" not in root.given:
        example = stations_in(None)
        return example.drawing, example.drawing_says
    table = root.table("draw_table")
    _check_source(root, table)
    takes_s = table.number("takes_s")
    kind = root.table("sources").table(table.text("source")).text("kind")
    return _law(table), f"{takes_s:g} s a dose ({kind})"


def _station(table: _Table) -> ClinicStation:
    line = table.text("line") if "line" in table.given else Line.EVERYBODY
    if line not in set(Line):
        raise RecordError(
            f"{table.file}: {table.called}line is {line!r}", advice=f"one of {', '.join(Line)}"
        )
    return ClinicStation(table.text("name"), _law(table), (1,), line=Line(line))


def _law(table: _Table) -> Law:
    """Return how long a turn takes."""
    takes, varies = timedelta(seconds=table.number("takes_s")), table.number("varies")
    with table.named():
        return lognormal(takes, varies)


def _check_source(root: _Table, table: _Table) -> None:
    """Raise where a figure names no source, or one that the file does not explain."""
    named = table.text("source")
    root.table("sources").table(named).text("kind")


def _says(root: _Table, tables: list[_Table]) -> str:
    sources = root.table("sources")
    parts = [
        f"{table.text('name')} {table.number('takes_s'):g} s "
        f"({sources.table(table.text('source')).text('kind')})"
        for table in tables
    ]
    return ", ".join(parts)


def _minutes(value: float) -> timedelta:
    return timedelta(minutes=value)
