"""When may, and when should, the second dose come? Calendar days, never booked early."""

from thawline.rebook.dates import OLDEST_YEARS, age_on, later
from thawline.rebook.due import DueList, SecondDue, Standing, booking_findings, second_due
from thawline.rebook.interval import (
    Judgement,
    SecondDates,
    Verdict,
    judged,
    repeat_day,
    second_dates,
    verdict_on,
)
from thawline.rebook.series import (
    Awaited,
    DoseDay,
    RuleOn,
    awaited,
    dose_days,
    has_undated_dose,
    judged_next,
    occurred_on,
    on_day,
)
from thawline.rebook.strictest import strictest

__all__ = [
    "OLDEST_YEARS",
    "Awaited",
    "DoseDay",
    "DueList",
    "Judgement",
    "RuleOn",
    "SecondDates",
    "SecondDue",
    "Standing",
    "Verdict",
    "age_on",
    "awaited",
    "booking_findings",
    "dose_days",
    "has_undated_dose",
    "judged",
    "judged_next",
    "later",
    "occurred_on",
    "on_day",
    "repeat_day",
    "second_dates",
    "second_due",
    "strictest",
    "verdict_on",
]
