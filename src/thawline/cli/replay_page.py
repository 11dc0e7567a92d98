"""How a day played again is shown: its figures, its half hours, and where times are from."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.replay_asked import FIGURES
from thawline.app.replays import Replay
from thawline.base.instants import Instant
from thawline.cli.text import clock_time, counted, day_name, table, wrapped
from thawline.plan.replay import Replays
from thawline.plan.replay_fit import Beside, Fit, HalfBeside
from thawline.plan.service_times import LEAST_DAYS, LEAST_TURNS, Interval

_MINUTE = 60


def name_of(figure: str) -> str:
    """Return a figure's name as it is printed."""
    return FIGURES[figure]


def day_text(
    replay: Replay, found: Fit, replays: Replays, promise: timedelta, zone: ZoneInfo
) -> str:
    """Return the page of a day."""
    days = replays.days
    rows = [
        [
            name_of(name),
            shown(name, each.recorded, replay, zone),
            shown(name, each.played.mean, replay, zone),
            _range(name, each, replay, zone),
        ]
        for name, each in found.figures.items()
    ]
    halves = [each for each in found.halves if _any(each)]
    return "\n".join(
        [
            f"{day_name(replay.day)} as it was, and on {days:,} simulated days with the same "
            "people.",
            wrapped(_arrivals(replay), 2),
            "",
            table(("", "recorded", "simulated", "95 days in 100"), rows, right=(1, 2, 3)),
            "",
            half_hours_table(halves, replay, zone),
            "",
            wrapped(_fits(replay, found, promise), 2),
            wrapped(times_text(replay), 2),
            wrapped(f"{days:,} simulated days, seed {replays.seed}; {_error(found)}", 2),
        ]
    )


def half_hours_table(halves: Sequence[HalfBeside], replay: Replay, zone: ZoneInfo) -> str:
    """Return half hours line by line: recorded, and what 95 in 100 simulated days give."""
    rows = [_half(each, replay, zone) for each in halves]
    head = ("from", "ready", "doses", "simulated", "wait min", "simulated")
    return table(head, rows, right=range(1, len(head)))


def shown(name: str, value: float | None, replay: Replay, zone: ZoneInfo) -> str:
    """Return a figure as it is printed; `?` where it is not known."""
    if value is None:
        return "?"
    if name == "last_dose_s":
        at = Instant(replay.begins + timedelta(seconds=round(value)))
        return clock_time(at, zone, replay.day)
    if name.endswith("_s"):
        return f"{value / _MINUTE:.1f}"
    return f"{value:,.0f}" if value == round(value) else f"{value:,.1f}"


def times_text(replay: Replay) -> str:
    """Return how long turns take and who says so."""
    times, example = replay.times, replay.example
    turns = sum(len(each.turns_s) for each in replay.timed)
    if times is None:
        chair = (
            f"A person at a chair: not known here, {turns} turns while people stood in line, "
            f"fewer than {LEAST_TURNS}. Taken instead: {example.says}."
        )
    else:
        over = "" if times.over_days else f"; under {LEAST_DAYS} days: not how days differ"
        chair = (
            f"A person at a chair: {times.mean_s.value:.0f} s ({_between(times.mean_s, '.0f')}"
            f", 95 %) by {turns} turns of this site while people stood in line "
            f"({counted(times.days, 'day')}{over})."
        )
    drawn = (
        f"A dose in drawing: {example.drawing_says}; nobody stamps when a table waits."
        if replay.tables
        else "Doses were drawn at the chairs, or their draws are not all on record."
    )
    return (
        f"{chair} {drawn} Desk and screening are not played: nobody stamps the door. The "
        "seconds that a screen is meant to take are never used."
    )


def times_not_known(replay: Replay) -> tuple[str, ...]:
    """Return the service times that nobody stamps, or of which too few are."""
    always = ("service_times.desk", "service_times.screening", "service_times.draw_table")
    return always if replay.times is not None else (*always, "service_times.chair")


def times_data(replay: Replay) -> dict[str, Any]:
    """Return the service times as JSON; None where the record does not tell them."""
    times = replay.times
    own: dict[str, Any] | None = None
    if times is not None:
        own = {
            "turns": times.turns,
            "record_days": times.days,
            "mean_s": times.mean_s.value,
            "low_s": times.mean_s.low,
            "high_s": times.mean_s.high,
            "varies": times.varies.value,
            "varies_low": times.varies.low,
            "varies_high": times.varies.high,
            "over_days": times.over_days,
        }
    return {
        "chair": own,
        "draw_table": None,
        "screening": None,
        "desk": None,
        "turns_not_in_line": sum(each.idle for each in replay.timed),
        "breaks": sum(each.breaks for each in replay.timed),
        "example": replay.example.says,
        "draw_table_example": replay.example.drawing_says,
    }


def _arrivals(replay: Replay) -> str:
    record = replay.recorded
    late = [each / timedelta(minutes=1) for each in record.late_by]
    half, most = (late[len(late) // 2], late[len(late) * 9 // 10]) if late else (0, 0)
    at_most = (
        f"first stamp after the time booked: half by {half:.0f} min, 9 in 10 by {most:.0f} min "
        "(nobody stamps the door: they came no later). "
        if late
        else ""
    )
    guessed = (
        f"For {replay.guessed} of {record.seated} the screening is not stamped: taken as ready "
        "by the example's times after the time booked. "
        if replay.guessed
        else ""
    )
    to_come = (
        f"{counted(replay.to_come, 'more person', 'more people')} booked for later: the day is "
        "not over. "
        if replay.to_come
        else ""
    )
    return (
        f"{to_come}{record.booked} booked: {record.came} came, {record.stayed_away} stayed "
        f"away; {at_most}{counted(record.walk_ups, 'walk-up')}. {guessed}"
        f"The way to a free chair, {record.way.total_seconds():.0f} s, is no wait."
    )


def _half(each: HalfBeside, replay: Replay, zone: ZoneInfo) -> list[str]:
    record, wait = each.recorded, each.wait_s
    return [
        clock_time(record.starts, zone, replay.day),
        str(record.ready),
        str(record.doses),
        f"{each.doses.low:.0f} to {each.doses.high:.0f}",
        "-" if wait is None else shown("mean_wait_s", wait.recorded, replay, zone),
        "-" if wait is None else f"{wait.low / _MINUTE:.1f} to {wait.high / _MINUTE:.1f}",
    ]


def _any(each: HalfBeside) -> bool:
    return bool(each.recorded.ready or each.recorded.doses or each.doses.high)


def _range(name: str, each: Beside, replay: Replay, zone: ZoneInfo) -> str:
    low, high = (shown(name, value, replay, zone) for value in (each.low, each.high))
    return low if low == high else f"{low} to {high}"


def _fits(replay: Replay, found: Fit, promise: timedelta) -> str:
    said = (
        "Waits and the end of the day fit"
        if not found.off and not found.off_halves
        else "Waits and the end of the day do not all fit"
    )
    if not replay.recorded.waits:
        said = "Waits are not known: no screening is stamped. The end of the day " + (
            "does not fit" if found.off else "fits"
        )
    vials = (
        "There is always a vial: more doses were given than those on record hold. "
        if replay.played.vials.ready is None
        else ""
    )
    least = f"{promise / timedelta(minutes=1):g} min"
    return (
        f"{vials}{said}: within what 95 in 100 simulated days "
        f"give, or a minute off. Promised: less than {least}. Played with one shared draw "
        "table and no vial held, so vials and doses left over are not compared."
    )


def _error(found: Fit) -> str:
    wait = found.figures["mean_wait_s"].played
    return f"standard error of the mean wait {wait.error or 0:.1f} s."


def _between(each: Interval, form: str) -> str:
    return f"{each.low:{form}} to {each.high:{form}}"
