"""What the lines above a logger's table state: interval, drift of its clock, form of dates."""

import re
from collections.abc import Iterable
from datetime import timedelta

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.lines import Row
from thawline.exchange.loggers.said import Said

_UNITS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "segundos"), 1),
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes", "minuto", "minutos"), 60),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours", "hora", "horas"), 3600),
    **dict.fromkeys(("d", "day", "days", "dia", "dias", "días"), 86_400),
}
_LENGTH = r"(?P<{0}>[+\-−]?\d{{1,6}}(?:[.,]\d{{1,3}})?)\s?(?P<{0}_unit>[A-Za-zí]{{1,8}})\b"  # noqa: RUF001
_ABOUT_INTERVAL = re.compile(
    r"\b(?:interval|log(?:ging)?\s(?:rate|every)|sampl\w+|record(?:ed|s)?\severy|every|cycle"
    r"|intervalo|cada)\b",
    re.IGNORECASE,
)
_ABOUT_DRIFT = re.compile(r"\b(?:drift|deriva)\b", re.IGNORECASE)
_A_LENGTH = re.compile(_LENGTH.format("length"))
_OVER = re.compile(rf"\b(?:over|in|after|en|tras)\s{_LENGTH.format('over')}", re.IGNORECASE)
_UNIT_FIRST = re.compile(
    r"[(\[]\s?(?P<length_unit>[A-Za-zí]{1,8})\s?[)\]]\W{1,4}(?P<length>\d{1,6}(?:[.,]\d{1,3})?)"
)
_CLOCK_LENGTH = re.compile(r"\b(\d{1,2}):(\d{2}):(\d{2})\b", re.ASCII)
_FORMS = {
    DateOrder.DMY: re.compile(r"\bDD([-/.])MM?\1YY(?:YY)?\b", re.IGNORECASE),
    DateOrder.MDY: re.compile(r"\bMM?([-/.])DD\1YY(?:YY)?\b", re.IGNORECASE),
    DateOrder.YMD: re.compile(r"\bYY(?:YY)?([-/.])MM?\1DD\b", re.IGNORECASE),
}


def stated_interval(rows: Iterable[Row]) -> timedelta | None:
    """Return the interval between readings that a header states; None where it does not."""
    for row in rows:
        text = " ".join(row.cells)
        if not _ABOUT_INTERVAL.search(text):
            continue
        if clock := _CLOCK_LENGTH.search(text):
            hours, minutes, seconds = map(int, clock.groups())
            length = timedelta(hours=hours, minutes=minutes, seconds=seconds)
        else:
            match = _UNIT_FIRST.search(text) or _A_LENGTH.search(text)
            length = _length(match, "length") or timedelta()
        if length > timedelta():
            return length
    return None


def stated_drift(rows: Iterable[Row]) -> tuple[timedelta, timedelta | None] | None:
    """Return how far off the device says its clock is, and over how long; None without that."""
    for row in rows:
        text = " ".join(row.cells)
        about = _ABOUT_DRIFT.search(text)
        rest = text[about.end() :] if about else ""
        drift = _length(_A_LENGTH.search(rest), "length")
        if drift is not None:
            return drift, _length(_OVER.search(rest), "over")
    return None


def stated_order(rows: Iterable[Row]) -> Said[DateOrder] | None:
    """Return the order in which a header says that dates are written; None if it does not."""
    for row in rows:
        text = " ".join(row.cells)
        found = [order for order, form in _FORMS.items() if form.search(text)]
        if len(found) == 1:
            return Said(found[0], row.line, text)
    return None


def _length(match: re.Match[str] | None, name: str) -> timedelta | None:
    if match is None:
        return None
    seconds = _UNITS.get(match[f"{name}_unit"].lower())
    if seconds is None:
        return None
    return float(match[name].replace(",", ".").replace("−", "-")) * timedelta(seconds=seconds)  # noqa: RUF001
