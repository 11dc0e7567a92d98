"""
Random logger files with known truth, and ways to spoil them. All invented.

A written file knows what a person who reads it with care would say: every reading's instant and
temperature. `spoiled` breaks its bytes the way cables, editors and full disks do.
"""

import io
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from decimal import Decimal
from random import Random
from zoneinfo import ZoneInfo

from openpyxl import Workbook

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.layout import Unit

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
DATES = {
    DateOrder.DMY: ("%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y", "%d %b %Y"),
    DateOrder.MDY: ("%m/%d/%Y", "%m-%d-%Y", "%b %d, %Y"),
    DateOrder.YMD: ("%Y-%m-%d", "%Y/%m/%d", "%Y.%m.%d"),
}
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252")
CODEC_ASKED = {"utf-16-le": "utf-16-le", "cp1252": "windows-1252"}
NOTES = ("Place: Oddmoor Library", "Serial;12-04", "", "Note: door seal new", "Read by: Hazel")
HUMIDITY, FLAG = "Humidity (%)", "Alarm"
CHICAGO = ZoneInfo("America/Chicago")
# Days on which the clocks of that zone change (time zone database).
CHANGES = (datetime(2026, 3, 8, tzinfo=UTC), datetime(2026, 11, 1, tzinfo=UTC))
SECOND_PROBE = Decimal(100)  # further from the first than any reading of it


@dataclass(frozen=True)
class Written:
    """
    A file's bytes, what may be asked for, and the truth: (ms of UTC, thousandths of °C).

    Args:
        raw: Its bytes.
        asked: What is said of it.
        truth: What it says.
        twice: Instants in a local hour that comes twice: read exactly, or left out and listed.
        probes: How many it has.
    """

    raw: bytes
    asked: Asked
    truth: tuple[tuple[int, int], ...]
    twice: frozenset[int] = frozenset()
    probes: int = 1

    def is_told_by(self, found: tuple[tuple[int, int], ...]) -> bool:
        """Say whether readings are the truth, but for some in an hour that comes twice."""
        left_out = [each for each in self.truth if each not in set(found)]
        kept = tuple(each for each in self.truth if each not in set(left_out))
        return found == kept and all(at_ms in self.twice for at_ms, _ in left_out)


@dataclass(frozen=True)
class _Form:
    """How one file is written."""

    delimiter: str
    order: DateOrder
    date: str
    clock: str
    apart: bool
    comma: bool
    unit: Unit
    unit_at: str  # column, above, value, nowhere
    zone_at: str  # above, column, offset, nowhere
    humidity: bool
    flag: bool
    index: bool
    quoted: bool
    probes: int
    zone: tzinfo


def written_file(rng: Random) -> Written:
    """Return a random file that a careful person can read, and what it says."""
    form = _form(rng)
    start = datetime(
        rng.randint(2019, 2027), rng.randint(1, 12), rng.randint(1, 28), tzinfo=UTC
    )
    if form.zone is not UTC:
        start = rng.choice(CHANGES)
    start += timedelta(minutes=rng.randrange(1440))
    step = timedelta(minutes=rng.choice((1, 5, 15, 30, 60, 720, 1440)))
    times = [start + place * step for place in range(rng.randint(2, 60))]
    temps = _temps(rng, len(times), form)
    rows = [
        _row(form, place, *pair) for place, pair in enumerate(zip(times, temps, strict=True))
    ]
    lines = [
        *_above(rng, form, rows),
        _line(form, _names(form)),
        *(_line(form, r) for r in rows),
    ]
    lines += ["", "Minimum", "Maximum"] if rng.random() < 0.3 else []
    encoding = rng.choice(ENCODINGS)
    text = rng.choice(("\n", "\r\n")).join([*lines, ""])
    truth = tuple(
        (int(at.timestamp()) * 1000, _thousandths(temp, form.unit))
        for at, temp in zip(times, temps, strict=True)
    )
    return Written(
        text.encode(encoding),
        _asked(rng, form, encoding),
        truth,
        frozenset(int(at.timestamp()) * 1000 for at in times if _comes_twice(at, form.zone)),
        form.probes,
    )


def written_workbook(rng: Random) -> Written:
    """Return a workbook with typed cells, one reading a minute, and what it says."""
    start = datetime(
        2026, rng.randint(1, 12), rng.randint(1, 28), rng.randrange(24), tzinfo=UTC
    )
    times = [start + place * timedelta(minutes=1) for place in range(rng.randint(2, 60))]
    temps = [Decimal(rng.randrange(20, 81)) / 10 for _ in times]
    book, out = Workbook(), io.BytesIO()
    assert book.active is not None  # a new one has a sheet
    for note in rng.sample(NOTES, rng.randrange(3)):
        book.active.append([note])
    book.active.append(["No.", "Time", "Temperature (°C)"])
    for place, (at, temp) in enumerate(zip(times, temps, strict=True)):
        book.active.append([place + 1, at.replace(tzinfo=None), float(temp)])
    book.save(out)
    truth = tuple(
        (int(at.timestamp()) * 1000, int(temp * 1000))
        for at, temp in zip(times, temps, strict=True)
    )
    return Written(out.getvalue(), Asked(unit=Unit.CELSIUS, zone=UTC), truth)


def spoiled(rng: Random, raw: bytes) -> bytes:
    """Return the bytes with some of them broken."""
    broken = bytearray(raw)
    for _ in range(rng.randint(1, 8)):
        at = rng.randrange(len(broken) + 1)
        length = rng.choice((1, 1, 2, 10, 100))
        way = rng.randrange(6)
        if way == 0:
            broken[at : at + length] = rng.randbytes(length)
        elif way == 1:
            del broken[at : at + length]
        elif way == 2:
            broken[at:at] = broken[max(0, at - 100 * length) : at]
        elif way == 3:
            broken[at:at] = rng.choice((b"\0", b"\n", b"\r", b";", b",", b'"', b"\t", b"\xff"))
        elif way == 4:
            broken[at:at] = b"%d" % rng.randrange(-(10**9), 10**9)
        else:
            del broken[at:]
    return bytes(broken)


def _form(rng: Random) -> _Form:
    order = rng.choice(tuple(DATES))
    comma = rng.random() < 0.4
    names = [name for name in DELIMITERS if not (comma and name == "comma")]
    date = rng.choice(DATES[order])
    if "," in date:
        names = [name for name in names if name != "comma"]
    zone_at = rng.choice(("above", "column", "offset", "nowhere"))
    changes = zone_at == "nowhere" and rng.random() < 0.5
    return _Form(
        delimiter=rng.choice(names),
        order=order,
        date=date,
        clock=rng.choice(("%H:%M", "%H:%M:%S", "%I:%M %p", "%I:%M:%S %p")),
        apart=rng.random() < 0.4,
        comma=comma,
        unit=rng.choice(tuple(Unit)),
        unit_at=rng.choice(("column", "above", "value", "nowhere")),
        zone_at=zone_at,
        humidity=rng.random() < 0.3,
        flag=rng.random() < 0.3,
        index=rng.random() < 0.3,
        quoted=rng.random() < 0.2,
        probes=1 if rng.random() < 0.7 else 2,
        zone=CHICAGO if changes else UTC,
    )


def _temps(rng: Random, count: int, form: _Form) -> list[Decimal]:
    middle = 41 if form.unit is Unit.FAHRENHEIT else 5
    if rng.random() < 0.3:
        middle -= 25
    return [Decimal(str(round(middle + rng.gauss(0, 2), 1))) for _ in range(count)]


def _row(form: _Form, place: int, at: datetime, temp: Decimal) -> list[str]:
    there = at.astimezone(form.zone)
    date, clock = there.strftime(form.date), there.strftime(form.clock)
    if form.zone_at == "offset":
        clock += "Z" if "%p" not in form.clock else " UTC"
    values = [_shown(form, temp + SECOND_PROBE * probe) for probe in range(form.probes)]
    mark = "," if form.comma else "."
    return [
        *([str(place + 1)] if form.index else []),
        *((date, clock) if form.apart else (f"{date} {clock}",)),
        *([f"45{mark}5"] if form.humidity else []),
        *values,
        *(["x" if place % 7 == 3 else ""] if form.flag else []),
    ]


def _shown(form: _Form, temp: Decimal) -> str:
    value = f"{temp:.1f}".replace(".", "," if form.comma else ".")
    return f"{value} °{form.unit}" if form.unit_at == "value" else value


def _comes_twice(at: datetime, zone: tzinfo) -> bool:
    """Say whether the local time of an instant comes again, or came before."""
    there = at.astimezone(zone)
    return there.utcoffset() != there.replace(fold=1 - there.fold).utcoffset()


def _names(form: _Form) -> list[str]:
    unit = f" (°{form.unit})" if form.unit_at == "column" else ""
    zone = " (UTC)" if form.zone_at == "column" else ""
    return [
        *(["No."] if form.index else []),
        *(("Date", f"Time{zone}") if form.apart else (f"Time{zone}",)),
        *([HUMIDITY] if form.humidity else []),
        *(f"Temperature{name}{unit}" for name in ("", " two")[: form.probes]),
        *([FLAG] if form.flag else []),
    ]


def _line(form: _Form, cells: list[str]) -> str:
    mark = DELIMITERS[form.delimiter]
    return mark.join(f'"{cell}"' if form.quoted else cell for cell in cells)


def _above(rng: Random, form: _Form, rows: list[list[str]]) -> list[str]:
    notes = [rng.choice(NOTES) for _ in range(rng.choice((0, 0, 1, 5, 29)))]
    if form.unit_at == "above":
        notes.append(f"Unit: °{form.unit}")
    if form.zone_at == "above":
        notes.append("Time zone: UTC")
    if rng.random() < 0.2:
        notes.append(f"Number of readings: {len(rows)}")
    return notes


def _asked(rng: Random, form: _Form, encoding: str) -> Asked:
    """Return what is asked for: everything, or by chance only a part of it."""
    says = rng.random() < 0.5

    def part() -> bool:
        return says or rng.random() < 0.5

    clock = "12" if "%p" in form.clock else "24"
    return Asked(
        unit=form.unit if part() else None,
        zone=form.zone if part() else None,
        date_order=form.order if part() else None,
        clock=clock if part() else None,
        decimal=("comma" if form.comma else "point") if part() else None,
        delimiter=form.delimiter if part() else None,
        encoding=CODEC_ASKED.get(encoding) if part() else None,
        probe=_place(form) if form.probes > 1 and part() else None,
    )


def _place(form: _Form) -> str:
    """Return the number of the first probe's column, counted from 1."""
    return str(2 + form.index + form.apart + form.humidity)


def asks_everything(file: Written) -> bool:
    """Say whether nothing is left for the file to tell."""
    asked = file.asked
    said = (asked.unit, asked.zone, asked.date_order, asked.clock, asked.decimal)
    return None not in (*said, asked.delimiter) and (file.probes == 1 or bool(asked.probe))


def _thousandths(temp: Decimal, unit: Unit) -> int:
    in_c = temp if unit is Unit.CELSIUS else (temp - 32) / Decimal("1.8")
    return round(in_c * 1000)
