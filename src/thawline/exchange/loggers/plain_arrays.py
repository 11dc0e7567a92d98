"""
Whole columns of a plain logger file at once, for files too small to wait for a compiler.

Every line must be written like the first one, digit under digit; what is not is handed back.
"""

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.exchange.loggers.local_times import LocalTimes
from thawline.exchange.loggers.plain_plan import (
    UNLIKE,
    Bytes,
    OddLine,
    PlainBlock,
    Plan,
    Temperatures,
    Whole,
    Why,
)
from thawline.store.readings import Readings

Flags = NDArray[np.bool_]

_NEWLINE, _RETURN, _SPACE, _ZERO = b"\n\r 0"
_NINE, _TEN, _HUNDRED, _THOUSAND = 9, 10, 100, 1000
_WIDEST = len("-123.456")
_DATE = {
    0: rb"(?P<year>\d{4})(?P<mark>[-/.])(?P<month>\d\d)(?P=mark)(?P<day>\d\d)",
    1: rb"(?P<day>\d\d)(?P<mark>[-/.])(?P<month>\d\d)(?P=mark)(?P<year>\d{4})",
    2: rb"(?P<month>\d\d)(?P<mark>[-/.])(?P<day>\d\d)(?P=mark)(?P<year>\d{4})",
}
_CLOCK = rb"(?P<hour>\d\d):(?P<minute>\d\d)(?::(?P<second>\d\d)(?:[.,](?P<parts>\d{3}))?)?"
_HALF = rb" ?(?P<half>[APap])[Mm]"
_AWAY = rb"(?:[Zz]|(?P<sign>[+-])(?P<away_h>\d\d):?(?P<away_m>\d\d))"
_HOURS_IN_HALF, _LAST_HOUR, _SIXTY = 12, 23, 60
_DAY_MS, _HOUR_MS, _MINUTE_MS = 86_400_000, 3_600_000, 60_000
_FIRST_YEAR = 1000
_MONTHS, _MONTHS_SINCE_1970 = 12, 1970 * 12


@dataclass(frozen=True, slots=True, eq=False)
class _Fields:
    """Where one field of each line begins and ends; shape (n,) each."""

    begin: Whole
    end: Whole


def read_arrays(text: Bytes, plan: Plan, zone: LocalTimes, first_line: int) -> PlainBlock:
    """
    Return the readings of whole lines.

    Args:
        text: Bytes of the file that end with a line.
        plan: Where things stand.
        zone: Stretches of the zone.
        first_line: The number of the first of the lines, counted from 1.
    """
    ends = np.flatnonzero(text == _NEWLINE)
    starts = np.concatenate([np.zeros(min(len(ends), 1), dtype=np.int64), ends[:-1] + 1])
    whole, bounds = _columns(text, starts, ends, plan)
    local, why = _times(text, plan, bounds)
    temps, known = _temps(text, plan, _field(text, bounds, plan.temp))
    at_ms, doubt = _utc(local, zone, plan)
    why = np.where(why | ~known, UNLIKE, doubt)
    reasons = np.full(len(starts), UNLIKE)
    reasons[whole] = why
    before = np.cumsum(reasons == 0)
    odd = tuple(
        OddLine(
            first_line + at,
            text[starts[at] : ends[at]].tobytes(),
            Why(int(reasons[at])),
            int(before[at]),
        )
        for at in np.flatnonzero(reasons).tolist()
    )
    good = why == 0
    used = int(ends[-1]) + 1 if len(ends) else 0
    return PlainBlock(Readings(at_ms[good], temps[good]), odd, len(starts), used)


def _columns(
    text: Bytes, starts: Whole, ends: Whole, plan: Plan
) -> tuple[Flags, NDArray[np.int64]]:
    """Return which lines have as many columns as they should, and where those begin and end."""
    marks = np.flatnonzero(text == plan.delimiter)
    first, after = np.searchsorted(marks, starts), np.searchsorted(marks, ends)
    whole = after - first == plan.columns - 1
    inner = marks[first[whole][:, None] + np.arange(plan.columns - 1)]
    return whole, np.column_stack([starts[whole] - 1, inner, ends[whole]])


def _field(text: Bytes, bounds: NDArray[np.int64], column: int) -> _Fields:
    """Return a column without a carriage return and the spaces around it."""
    begin, end = bounds[:, column] + 1, bounds[:, column + 1].copy()
    end -= (end > begin) & (text[end - 1] == _RETURN)
    for _ in range(_WIDEST):
        begin += (begin < end) & (text[np.minimum(begin, len(text) - 1)] == _SPACE)
        end -= (end > begin) & (text[end - 1] == _SPACE)
    return _Fields(begin, end)


def _times(text: Bytes, plan: Plan, bounds: NDArray[np.int64]) -> tuple[Whole, Flags]:
    """Return times before any zone, and which lines have none like the first."""
    date, odd = _like_first(text, _field(text, bounds, plan.date), _pattern(plan))
    if plan.clock != plan.date:
        clock, odd_clock = _like_first(
            text, _field(text, bounds, plan.clock), _clock_pattern(plan)
        )
        date, odd = {**date, **clock}, odd | odd_clock
    if "hour" not in date or "day" not in date:
        return np.zeros(len(odd), dtype=np.int64), np.ones(len(odd), dtype=bool)
    days, no_day = _days(date)
    ms, no_time = _clock_ms(date, plan)
    return days * _DAY_MS + ms, odd | no_day | no_time


def _pattern(plan: Plan) -> bytes:
    if plan.clock != plan.date:
        return _DATE[plan.order]
    return _DATE[plan.order] + rb"[ T]" + _clock_pattern(plan)


def _clock_pattern(plan: Plan) -> bytes:
    return _CLOCK + (_HALF if plan.twelve else b"") + (_AWAY if plan.offset else b"")


def _like_first(text: Bytes, fields: _Fields, pattern: bytes) -> tuple[dict[str, Whole], Flags]:
    """
    Return the named parts of a field as numbers, and which lines are unlike the first.

    Letters and signs are parts too: their bytes.
    """
    lengths = fields.end - fields.begin
    first = text[fields.begin[0] : fields.end[0]].tobytes() if len(lengths) else b""
    match = re.fullmatch(pattern, first)
    if match is None:
        return {}, np.ones(len(lengths), dtype=bool)
    odd = lengths != len(first)
    places = np.minimum(fields.begin[:, None] + np.arange(len(first)), len(text) - 1)
    seen = text[places]
    digits = np.array([chr(byte).isdecimal() for byte in first])
    numbers = seen - np.uint8(_ZERO)
    odd |= (numbers[:, digits] > _NINE).any(axis=1)
    free = {match.start(name) for name in ("half", "sign") if _has(match, name)}
    for place in set(np.flatnonzero(~digits).tolist()) - free:
        odd |= seen[:, place] != first[place]
    parts = {}
    for name in match.re.groupindex:
        if name != "mark" and _has(match, name):
            lo, hi = match.span(name)
            parts[name] = (
                seen[:, lo].astype(np.int64)
                if lo in free
                else _number(numbers[:, lo:hi].astype(np.int64))
            )
    return parts, odd


def _has(match: re.Match[bytes], name: str) -> bool:
    return name in match.re.groupindex and match[name] is not None


def _number(digits: NDArray[np.int64]) -> Whole:
    value = np.zeros(len(digits), dtype=np.int64)
    for column in digits.T:
        value = value * _TEN + column
    return value


def _days(parts: dict[str, Whole]) -> tuple[Whole, Flags]:
    """Return days since 1970, and which of the dates do not exist."""
    year, month, day = parts["year"], parts["month"], parts["day"]
    odd = (month < 1) | (month > _MONTHS) | (day < 1) | (year < _FIRST_YEAR)
    months = np.where(odd, _MONTHS_SINCE_1970, year * _MONTHS + month - 1) - _MONTHS_SINCE_1970
    begins = months.astype("datetime64[M]")
    first, after = (
        each.astype("datetime64[D]").astype(np.int64) for each in (begins, begins + 1)
    )
    return first + day - 1, odd | (day > after - first)


def _clock_ms(parts: dict[str, Whole], plan: Plan) -> tuple[Whole, Flags]:
    """Return milliseconds since midnight less any offset, and which do not exist."""
    hour, minute = parts["hour"], parts["minute"]
    zero = np.zeros_like(hour)
    second, parts_ms = parts.get("second", zero), parts.get("parts", zero)
    odd = (minute >= _SIXTY) | (second >= _SIXTY)
    if plan.twelve:
        half = parts["half"] & ~ord(" ")
        odd |= ((half != ord("A")) & (half != ord("P"))) | (hour < 1) | (hour > _HOURS_IN_HALF)
        hour = hour % _HOURS_IN_HALF + _HOURS_IN_HALF * (half == ord("P"))
    odd |= hour > _LAST_HOUR
    ms = hour * _HOUR_MS + minute * _MINUTE_MS + second * _THOUSAND + parts_ms
    if "sign" in parts:
        sign, away_h, away_m = parts["sign"], parts["away_h"], parts["away_m"]
        odd |= (away_h > _LAST_HOUR) | (away_m >= _SIXTY)
        odd |= (sign != ord("+")) & (sign != ord("-"))
        ms -= np.where(sign == ord("-"), -1, 1) * (away_h * _HOUR_MS + away_m * _MINUTE_MS)
    return ms, odd


def _utc(local: Whole, zone: LocalTimes, plan: Plan) -> tuple[Whole, Whole]:
    """Return instants and the doubt about each."""
    if plan.offset:
        return local, np.zeros(len(local), dtype=np.int64)
    stretch = np.searchsorted(zone.from_ms, local, side="right") - 1
    return local - zone.offset_ms[stretch], zone.doubt[stretch]


def _temps(text: Bytes, plan: Plan, fields: _Fields) -> tuple[Temperatures, Flags]:
    """Return thousandths of a degree Celsius, and which of the fields hold a temperature."""
    lengths = fields.end - fields.begin
    known = (lengths > 0) & (lengths <= _WIDEST)
    value, whole, decimals = (np.zeros(len(lengths), dtype=np.int64) for _ in range(3))
    point = np.zeros(len(lengths), dtype=bool)
    first = text[np.minimum(fields.begin, max(len(text) - 1, 0))]
    signed = (first == ord("-")) | (first == ord("+"))
    for column in range(_WIDEST):
        inside = (column < lengths) & ~(signed & (column == 0))
        byte = text[np.minimum(fields.begin + column, max(len(text) - 1, 0))]
        digit = inside & (byte >= _ZERO) & (byte <= _ZERO + _NINE)
        mark = inside & (byte == plan.decimal) & ~point
        known &= ~inside | digit | mark
        value = np.where(digit, value * _TEN + byte - _ZERO, value)
        whole += digit & ~point
        decimals += digit & point
        point |= mark
    known &= (whole >= 1) & (whole <= _DECIMALS) & (decimals <= _DECIMALS)
    known &= ~point | (decimals > 0)
    value *= np.array([_THOUSAND, _HUNDRED, _TEN, 1])[np.minimum(decimals, _DECIMALS)]
    value = np.where(first == ord("-"), -value, value)
    if plan.fahrenheit:
        value = (_TEN * (value - _FREEZING_MF) + _NINE) // _EIGHTEEN
    return np.where(known, value, 0).astype(np.int32), known


_DECIMALS = 3  # thousandths are the finest that readings are kept in, and 999 the warmest
# (F - 32) / 1.8, by definition, to the nearest thousandth; a half cannot come out of ninths.
_FREEZING_MF, _EIGHTEEN = 32_000, 18
