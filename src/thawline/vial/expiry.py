"""
The last day printed on a label: a date, or a month, which means its last day.

Source: a month and year only "may be used up to and including the last day of that month";
with a day, through the end of that day (CDC toolkit and Immunize.org, coldchain rows B1, B2).
"""

import calendar
import re
from datetime import date
from functools import lru_cache

from thawline.base.errors import RecordError
from thawline.base.instants import in_our_years

_PRINTED = re.compile(r"(\d{4})-(\d{2})(?:-(\d{2}))?", re.ASCII)


@lru_cache(maxsize=1024)  # one a lot and label; every vial of a list asks for its own
def read_expiry(printed: str) -> date:
    """
    Return the last day on which the label lets the vial be used.

    Raises:
        RecordError: Not a date or a month, as in 2026-08-31 or 2026-08.
    """
    match = _PRINTED.fullmatch(printed)
    try:
        year, month, day = (int(part or 0) for part in match.groups()) if match else (0, 0, 0)
        last = date(year, month, day or calendar.monthrange(year, month)[1])
    except (ValueError, calendar.IllegalMonthError) as error:
        raise RecordError(
            f"not an expiry: {printed!r}", advice="write it as 2026-08-31 or 2026-08"
        ) from error
    in_our_years(last, printed)
    return last
