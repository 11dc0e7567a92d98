"""
Calendar dates moved by years, months, weeks or days, by the published rules CALCDT-1 to -6.

A date that does not exist moves FORWARD to the first of the next month; it is never clamped
back, so nobody comes too early. The second dose of a 28-day vaccine counts in days: months
are for ages and for series whose rules say months.

Source: CDC, CDSi logic specification, rules CALCDT-1 to CALCDT-6, as read in public copies
of its rule table; the order within a mixed period (CALCDT-6) is from memory, verify. See
docs/background/second-dose.md and decision 0031.
"""

from datetime import MAXYEAR, MINYEAR, date, timedelta

from thawline.base.errors import RecordError

_MONTHS_A_YEAR = 12
_DAYS_A_WEEK = 7
OLDEST_YEARS = 120
"""Ours: whoever would be older was born on another day than the one that was typed."""


def later(
    start: date, *, years: int = 0, months: int = 0, weeks: int = 0, days: int = 0
) -> date:
    """
    Return the date that long after the start: years first, then months, then weeks and days.

    Below zero counts back. Each step gives a date that exists before the next is taken.

    Raises:
        RecordError: The calendar does not reach that far.
    """
    after_years = _months_later(start, years * _MONTHS_A_YEAR)
    after_months = _months_later(after_years, months)
    try:
        return after_months + timedelta(days=weeks * _DAYS_A_WEEK + days)
    except OverflowError as error:
        raise _beyond(start) from error


def age_on(born: date, day: date) -> int:
    """
    Return the whole years somebody has lived on a day; born on 29 February, older on 1 March.

    Raises:
        RecordError: The birth date has not come yet, or nobody is that old.
    """
    if born > day:
        raise RecordError(
            f"a birth date after {day.isoformat()}", advice="look at the year that was typed"
        )
    years = day.year - born.year
    age = years if later(born, years=years) <= day else years - 1
    if age > OLDEST_YEARS:
        raise RecordError(
            f"an age of {age} years on {day.isoformat()}",
            advice="look at the year of the birth date",
        )
    return age


def _months_later(start: date, months: int) -> date:
    year, month = divmod(start.year * _MONTHS_A_YEAR + start.month - 1 + months, _MONTHS_A_YEAR)
    if not MINYEAR <= year <= MAXYEAR:
        raise _beyond(start)
    return _rolled(date(year, month + 1, 1), start.day)


def _rolled(first: date, day: int) -> date:
    """Return that day of the month, or the first of the next month where it has none."""
    wanted = first + timedelta(days=day - 1)
    return wanted if wanted.month == first.month else wanted.replace(day=1)


def _beyond(start: date) -> RecordError:
    return RecordError(
        f"a date beyond the calendar, counted from {start.isoformat()}",
        advice="look at the year that was typed",
    )
