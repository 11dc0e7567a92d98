"""Hours, minutes and walk-ups that are typed: within one day, or said to be none."""

from datetime import timedelta

from thawline.base.errors import RecordError

_DAY = timedelta(days=1)
_MOST_AN_HOUR = 10_000  # a technical limit, far beyond any door
_HOUR, _MINUTE = timedelta(hours=1), timedelta(minutes=1)


def check_hours(hours: float) -> None:
    """
    Look whether so many hours lie within one day.

    Raises:
        RecordError: They do not, or are no number.
    """
    if not 0 <= hours <= _DAY / _HOUR:
        raise RecordError(f"{hours:g} h of one day", advice="from 0 to 24, as in 11")


def wait_of(minutes: float) -> timedelta:
    """
    Return a wait that is typed in minutes.

    Raises:
        RecordError: It is below 0, longer than a day, or no number.
    """
    if not 0 <= minutes <= _DAY / _MINUTE:
        raise RecordError(f"a wait of {minutes:g} min", advice="0 or more, at most a day")
    return minutes * _MINUTE


def walk_ups_of(an_hour: float | None) -> float | None:
    """
    Return walk-ups that are typed; None where none are.

    Raises:
        RecordError: They are below 0, more than any door lets in, or no number.
    """
    if an_hour is not None and not 0 <= an_hour <= _MOST_AN_HOUR:
        raise RecordError(f"{an_hour:g} walk-ups an hour", advice=f"0 to {_MOST_AN_HOUR:,}")
    return an_hour
