"""The changes that may be asked of a day played again, each as a day and in words."""

from zoneinfo import ZoneInfo

from thawline.app.replays import Replay
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_time
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.replay import ReplayDay
from thawline.plan.replay_change import fewer_vials, more_people, more_tables, with_no_show

Asked = tuple[ReplayDay, str]
"""The day with the change, and the change in words."""

FIGURES = {
    "mean_wait_s": "mean wait for a chair, min",
    "longest_wait_s": "longest wait, min",
    "over_promise": "people over the promise",
    "doses_given": "doses given",
    "without_dose": "people without a dose",
    "last_dose_s": "last dose at",
    "vials_opened": "vials opened",
    "doses_left": "doses of opened vials not given",
    "most_observed": "most under observation",
    "people": "people at the chairs",
}
"""Each figure's name as people read it."""


def one_table_more(replay: Replay, at: Instant, zone: ZoneInfo) -> Asked:
    """
    Return the day with one draw table more from a time on.

    Raises:
        RecordError: No table is on record that day, or not all its draws; or nobody was at
            the chairs then.
    """
    if not replay.tables:
        raise RecordError(
            "no draw table is on record that day, or not all its draws",
            advice="ask about the chairs: --station chair",
        )
    _refuse_outside(replay, at, zone)
    says = f"one draw table more from {_clock(at, zone)}"
    return more_tables(replay.played, at - replay.begins), says


def people_more(
    replay: Replay,
    station: str,
    people: int,
    between: tuple[Instant, Instant | None],
    zone: ZoneInfo,
) -> Asked:
    """
    Return the day with more people at a station, below zero fewer, for some of its time.

    Raises:
        RecordError: It ends before it begins, or nobody was at the chairs then.
    """
    since, until = between
    for at in (since, until):
        if at is not None:
            _refuse_outside(replay, at, zone)
    if until is not None and until <= since:
        raise RecordError(
            f"from {_clock(since, zone)} to {_clock(until, zone)} is no time",
            advice="give the earlier one first",
        )
    span = (since - replay.begins, None if until is None else until - replay.begins)
    many = "1 person" if abs(people) == 1 else f"{abs(people)} people"
    more = "more" if people >= 0 else "fewer"
    ends = "on" if until is None else f"to {_clock(until, zone)}"
    says = f"{many} {more} at the {station}s from {_clock(since, zone)} {ends}"
    return more_people(replay.played, station, people, span), says


def vials_fewer(replay: Replay, vials: int) -> Asked:
    """Return the day with so many vials fewer thawed at its start."""
    fewer = "1 vial" if vials == 1 else f"{vials} vials"
    return fewer_vials(replay.played, vials), f"{fewer} fewer thawed at the start"


def stays_away(replay: Replay, share: float) -> Asked:
    """Return the day with another share of the bookings, 0 to below 1, that stays away."""
    day = replay.played
    says = f"{share:.0%} of the bookings stay away, not {day.stayed_away:.1%}"
    return with_no_show(day, share), says


def _refuse_outside(replay: Replay, at: Instant, zone: ZoneInfo) -> None:
    """Raise for a time at which nobody was at the chairs."""
    opens = half_hour_of(replay.opens, zone)
    closes = Instant(half_hour_of(replay.closes, zone) + HALF_HOUR)
    if not opens <= at <= closes:
        hours = f"{_clock(opens, zone)} to {_clock(closes, zone)}"
        raise RecordError(
            f"{_clock(at, zone)} is outside the hours of {replay.day.isoformat()}",
            advice=f"people were at the chairs from {hours}",
        )


def _clock(at: Instant, zone: ZoneInfo) -> str:
    return local_time(at, zone).strftime("%H:%M")
