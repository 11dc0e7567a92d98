"""
One line of a plain logger file after the other, from bytes to whole numbers.

One source, compiled or run as plain Python, with the same bits. A line is read wholly or not at
all: whatever deviates is handed back with its place and the reason.
"""

from thawline.base.compiled import compiled, inlined
from thawline.exchange.loggers.plain_plan import (
    CLOCK,
    COLUMNS,
    DATE,
    OFFSET,
    TEMPERATURE,
    Bytes,
    Parts,
    Plan,
    Temperatures,
    Whole,
)

NEWLINE, RETURN, SPACE, POINT, COMMA = 10, 13, 32, 46, 44
PLUS, MINUS, SLASH, COLON, ZERO, NINE = 43, 45, 47, 58, 48, 57
A, M, P, T, Z, LOWER = 65, 77, 80, 84, 90, 32  # LOWER: what a small letter has more

BAD = -(1 << 62)
"""No number: never a time or a temperature of ours."""

DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS = 86_400_000, 3_600_000, 60_000, 1_000


@compiled
def number(text: Bytes, at: int, end: int, most: int) -> tuple[int, int]:
    """Return the whole number at a place and where it ends; BAD without 1 to `most` digits."""
    value = 0
    place = at
    while place < end and ZERO <= text[place] <= NINE:
        # int(): in plain Python a byte of an array would stay a byte, and overflow.
        value = value * 10 + int(text[place]) - ZERO
        place += 1
        if place - at > most:
            return BAD, place
    if place == at:
        return BAD, place
    return value, place


@compiled
def day_number(year: int, month: int, day: int) -> int:
    """
    Return the days since 1970 of a date; BAD if there is no such day.

    Source: the count of days in years that begin in March, common practice.
    """
    if year < 1000 or month < 1 or month > 12 or day < 1 or day > 31:
        return BAD
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    if month == 2 and day > 28 + leap:
        return BAD
    if day == 31 and month in (4, 6, 9, 11):
        return BAD
    since = (month + 9) % 12
    years = year - (month < 3)
    days = 365 * years + years // 4 - years // 100 + years // 400
    return days + (since * 306 + 5) // 10 + day - 1 - 719468


@compiled
def date_days(text: Bytes, at: int, end: int, order: int) -> tuple[int, int]:
    """Return the days since 1970 of a date in numbers, and its end; BAD if it is none."""
    first, place = number(text, at, end, 4)
    if first == BAD or place >= end:
        return BAD, place
    mark = text[place]
    second, after = number(text, place + 1, end, 2)
    if (
        mark not in (MINUS, SLASH, POINT)
        or second == BAD
        or after >= end
        or text[after] != mark
    ):
        return BAD, after
    third, last = number(text, after + 1, end, 4)
    if third == BAD:
        return BAD, last
    if order == 0:
        return (day_number(first, second, third) if place - at == 4 else BAD), last
    if last - after != 5:
        return BAD, last
    if order == 1:
        return day_number(third, second, first), last
    return day_number(third, first, second), last


@compiled
def thousandths(text: Bytes, at: int, end: int) -> tuple[int, int]:
    """Return one to three decimals as thousandths, and where they end; BAD if more."""
    value, place = number(text, at, end, 3)
    if value == BAD:
        return BAD, place
    for _ in range(3 - (place - at)):
        value *= 10
    return value, place


@inlined
def two_digits(text: Bytes, at: int, end: int) -> int:
    """Return the number of exactly two digits at a place; BAD if they are none."""
    if at + 1 >= end:
        return BAD
    tens, ones = int(text[at]) - ZERO, int(text[at + 1]) - ZERO
    if 0 <= tens <= 9 and 0 <= ones <= 9:
        return tens * 10 + ones
    return BAD


@inlined
def clock_ms(text: Bytes, at: int, end: int, plan: Plan) -> tuple[int, int]:
    """Return the milliseconds since midnight, and where the time ends; BAD if it is none."""
    hour, place = two_digits(text, at, end), at + 2
    if hour == BAD:
        hour, place = number(text, at, end, 1)
    minute = two_digits(text, place + 1, end)
    if hour < 0 or minute < 0 or minute > 59 or text[place] != COLON:
        return BAD, place
    ms, place = seconds_ms(text, place + 3, end, plan.delimiter)
    if plan.twelve:
        hour, place = from_noon(text, place, end, hour)
    if ms == BAD or hour < 0 or hour > 23:
        return BAD, place
    return hour * HOUR_MS + minute * MINUTE_MS + ms, place


@inlined
def seconds_ms(text: Bytes, at: int, end: int, delimiter: int) -> tuple[int, int]:
    """Return seconds and their thousandths where they are written, else 0, and the end."""
    if at >= end or text[at] != COLON:
        return 0, at
    second, place = two_digits(text, at + 1, end), at + 3
    if second < 0 or second > 59:
        return BAD, place
    if place < end and text[place] in (POINT, COMMA) and text[place] != delimiter:
        parts, place = thousandths(text, place + 1, end)
        return (BAD if parts == BAD else second * SECOND_MS + parts), place
    return second * SECOND_MS, place


@compiled
def from_noon(text: Bytes, at: int, end: int, hour: int) -> tuple[int, int]:
    """Return the hour of the day for one of twelve with AM or PM behind it; BAD without."""
    place = at
    while place < end and text[place] == SPACE:
        place += 1
    if place + 2 > end or hour < 1 or hour > 12:
        return BAD, place
    half = int(text[place]) & ~LOWER
    if half not in (A, P) or int(text[place + 1]) & ~LOWER != M:
        return BAD, place
    return hour % 12 + (12 if half == P else 0), place + 2


@compiled
def offset_ms(text: Bytes, at: int, end: int) -> tuple[int, int]:
    """Return the offset from UTC behind a time: Z, +01:00 or -0600; BAD if there is none."""
    if at >= end:
        return BAD, at
    sign = int(text[at])
    if sign & ~LOWER == Z:
        return 0, at + 1
    hours, place = number(text, at + 1, end, 4)
    if sign not in (PLUS, MINUS) or hours == BAD:
        return BAD, place
    minutes = hours % 100
    if place - at == 3 and place < end and text[place] == COLON:
        after = place + 1
        minutes, place = number(text, after, end, 2)
        hours = hours * 100 if place - after == 2 else BAD
    elif place - at != 5:
        return BAD, place
    if minutes > 59 or minutes < 0 or hours < 0 or hours >= 2400:
        return BAD, place
    away = hours // 100 * HOUR_MS + minutes * MINUTE_MS
    return (-away if sign == MINUS else away), place


@inlined
def temp_mc(text: Bytes, at: int, end: int, plan: Plan) -> tuple[int, int]:
    """Return a temperature in thousandths of a degree Celsius, and its end; BAD if none."""
    sign = int(text[at]) if at < end else NEWLINE
    place = at + (sign in (MINUS, PLUS))
    begin, point, value = place, BAD, 0
    while place < end:
        byte = int(text[place])
        if ZERO <= byte <= NINE:
            value = value * 10 + byte - ZERO
        elif byte == plan.decimal and point == BAD:
            point = place
        else:
            break
        place += 1
    value = scaled(value, begin, point, place)
    if value == BAD:
        return BAD, place
    value = -value if sign == MINUS else value
    # (F - 32) / 1.8, to the nearest thousandth; a half cannot come out of ninths.
    return ((10 * (value - 32_000) + 9) // 18 if plan.fahrenheit else value), place


@inlined
def scaled(value: int, begin: int, point: int, end: int) -> int:
    """Return digits as thousandths: up to three before a point, and one to three behind it."""
    whole = end - begin if point == BAD else point - begin
    decimals = 0 if point == BAD else end - point - 1
    if whole < 1 or whole > 3 or decimals > 3 or (point != BAD and decimals == 0):
        return BAD
    for _ in range(3 - decimals):
        value *= 10
    return value


@inlined
def after_spaces(text: Bytes, at: int, end: int) -> int:
    """Return the place behind any spaces."""
    while at < end and text[at] == SPACE:
        at += 1
    return at


@inlined
def closing(text: Bytes, at: int, end: int, delimiter: int) -> int:
    """Return where a field ends if only spaces and a carriage return are left; else BAD."""
    while at < end and text[at] in (SPACE, RETURN):
        at += 1
    return at if at >= end or text[at] in (delimiter, NEWLINE) else BAD


@inlined
def field_end(text: Bytes, at: int, end: int, delimiter: int) -> int:
    """Return where a field ends: at its delimiter, or at the end of the line."""
    while at < end and text[at] not in (delimiter, NEWLINE):
        at += 1
    return at


@inlined
def stretch_of(local_ms: int, from_ms: Whole, guess: int) -> int:
    """Return the stretch that a local time lies in, looking first where the last one was."""
    place = guess
    while place + 1 < len(from_ms) and local_ms >= from_ms[place + 1]:
        place += 1
    while local_ms < from_ms[place]:
        place -= 1
    return place


@inlined
def is_written_at(text: Bytes, at: int, end: int, pattern: tuple[int, int]) -> bool:
    """Say whether the bytes of another place, from its begin to its end, stand here too."""
    length = pattern[1] - pattern[0]
    if length == 0 or at + length > end:
        return False
    same = 0
    while same < length and text[at + same] == text[pattern[0] + same]:
        same += 1
    return same == length


@inlined
def date_of(
    text: Bytes, at: int, end: int, plan: Plan, last: tuple[int, int, int]
) -> tuple[int, int]:
    """Return a date and its end; nearly every line has the date of the line before."""
    if is_written_at(text, at, end, (last[0], last[1])):
        return last[2], at + last[1] - last[0]
    return date_days(text, at, end, plan.order)


@compiled
def clock_of(text: Bytes, at: int, end: int, plan: Plan) -> tuple[int, int, int]:
    """Return the time of day, its offset (0 without; BAD: why), and its end."""
    ms, place = clock_ms(text, at, end, plan)
    if ms == BAD:
        return BAD, CLOCK, place
    if not plan.offset:
        return ms, 0, place
    away, place = offset_ms(text, after_spaces(text, place, end), end)
    return (BAD, OFFSET, place) if away == BAD else (ms, away, place)


@inlined
def first_fault(days: int, ms: int, away: int, temp: int) -> int:
    """Return why a line is handed back; 0 when all its parts were read."""
    if days == BAD:
        return DATE
    if ms == BAD:
        return away
    return TEMPERATURE if temp == BAD else 0


@inlined
def time_of(
    text: Bytes, at: int, end: int, plan: Plan, last: tuple[int, int, int]
) -> tuple[tuple[int, int, int], int, int, int]:
    """Return the date with its place, time of day and offset of a column with the date."""
    days, place = date_of(text, at, end, plan, last)
    date = (at, place, days)
    if plan.clock != plan.date or place >= end or text[place] not in (SPACE, T):
        return date, BAD, CLOCK, place
    ms, away, place = clock_of(text, after_spaces(text, place + 1, end), end, plan)
    return date, ms, away, place


@inlined
def next_column(text: Bytes, at: int, end: int, plan: Plan, column: int) -> int:
    """Return the start of the next column, behind the last the end of the line; or BAD."""
    at_line_end = at >= end or text[at] == NEWLINE
    if at_line_end != (column + 1 == plan.columns):
        return BAD
    return at if at_line_end else at + 1


@inlined
def read_column(
    text: Bytes, at: int, end: int, plan: Plan, so_far: Parts, column: int
) -> tuple[Parts, int]:
    """Return the parts of a line with those of one more column, and where that one ends."""
    date, ms, away, temp = so_far
    place = at
    if column == plan.date:
        # In a column of its own the date leaves the clock as another column gave it.
        date, ms_beside, away_beside, place = time_of(text, at, end, plan, date)
        if plan.clock == plan.date:
            ms, away = ms_beside, away_beside
    elif column == plan.clock:
        ms, away, place = clock_of(text, at, end, plan)
    elif column == plan.temp:
        temp, place = temp_mc(text, at, end, plan)
    else:
        return so_far, field_end(text, at, end, plan.delimiter)
    close = closing(text, place, end, plan.delimiter)
    if close != BAD:
        return (date, ms, away, temp), close
    close = field_end(text, place, end, plan.delimiter)
    if column == plan.temp:
        temp = BAD
    elif column == plan.clock:
        ms, away = BAD, CLOCK if ms != BAD else away
    else:
        date = (date[0], date[1], BAD)
    return (date, ms, away, temp), close


@inlined
def read_line(
    text: Bytes, at: int, end: int, plan: Plan, last: tuple[int, int, int]
) -> tuple[Parts, int]:
    """
    Return the parts of a line and where it ends, given the date of the line before.

    The parts: date, time of day, offset, temperature. One that is none is BAD; the offset then
    says why. The end is BAD where the line has not as many columns as it should.
    """
    parts, place = (last, BAD, CLOCK, BAD), at
    for column in range(plan.columns):
        place = after_spaces(text, place, end)
        parts, place = read_column(text, place, end, plan, parts, column)
        place = next_column(text, place, end, plan, column)
        if place == BAD:
            break
    return parts, place


@compiled
def read_lines(
    text: Bytes,
    stop: int,
    plan: Plan,
    zone: tuple[Whole, Whole, Whole],
    readings: tuple[Whole, Temperatures],
    odd: Whole,
) -> tuple[int, int, int, int]:
    """
    Read whole lines until the text ends or there is no room for another one.

    Args:
        text: Bytes of the file, from the start of a line.
        stop: How many of them; the last one ends a line.
        plan: Where things stand.
        zone: Stretches of the zone: their beginnings, offsets and doubts.
        readings: Filled in: instants and temperatures, shape (n,).
        odd: Filled in: lines that deviate, shape (m, 5): the line counted from 0, its first
            byte, its end, the reason, and how many readings came before it.

    Returns:
        Lines, readings, lines that deviate, and the bytes that were read.
    """
    from_ms, offsets, doubts = zone
    at_ms, temps = readings
    lines, count, strange, at, stretch = 0, 0, 0, 0, 0
    last = (0, 0, BAD)
    while at < stop and count < len(at_ms) and strange < len(odd):
        (date, ms, away, temp), end = read_line(text, at, stop, plan, last)
        why = first_fault(date[2], ms, away, temp)
        if end == BAD:
            why, end = COLUMNS, field_end(text, at, stop, NEWLINE)
        if why == 0:
            last = date
            instant = date[2] * DAY_MS + ms
            if not plan.offset:
                stretch = stretch_of(instant, from_ms, stretch)
                away, why = offsets[stretch], doubts[stretch]
            at_ms[count], temps[count] = instant - away, temp
        if why == 0:
            count += 1
        else:
            odd[strange, 0], odd[strange, 1], odd[strange, 2] = lines, at, end
            odd[strange, 3], odd[strange, 4] = why, count
            strange += 1
        lines += 1
        at = end + 1
    return lines, count, strange, at
