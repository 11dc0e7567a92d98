"""`thawline replay change`: one thing changed in a day of the record, and what that does."""

from dataclasses import dataclass, replace
from datetime import time
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.app.ports import Site
from thawline.app.replay_asked import (
    Asked,
    one_table_more,
    people_more,
    stays_away,
    vials_fewer,
)
from thawline.app.replay_changes import Changed, compared
from thawline.app.replays import Replay
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_instant, written
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Where
from thawline.cli.replay_day import alerts, held_against
from thawline.cli.replay_options import Which, asked_for, played
from thawline.cli.replay_page import name_of, shown, times_data, times_not_known, times_text
from thawline.cli.text import clock_time, day_name, table, wrapped
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.replay_change import (
    Difference,
)

ANY = Which()
NOW = Where()
_NOON = time(12)
_MINUTE = 60
_FEW = 50  # days on which is looked from where on tables matter


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class One:
    """
    The one thing that is changed.

    Parameters
    ----------
    draw_table
        One draw table more, from this time on, as in 11:30.
    station
        Where people are added or taken away: chair, or draw table.
    people
        How many more at the station; below zero fewer.
    since
        From when, as in 11:30.
    until
        Until when; to the end of the day if left out.
    vials_fewer
        So many vials fewer thawed at the start of the day.
    no_show
        The share of bookings that stays away, from 0 to below 1.
    """

    draw_table: str | None = None
    station: str | None = None
    people: int | None = None
    since: Annotated[str | None, Parameter(name="--from")] = None
    until: Annotated[str | None, Parameter(name="--to")] = None
    vials_fewer: int | None = None
    no_show: float | None = None


NOTHING = One()


def change(*, one: One = NOTHING, which: Which = ANY, where: Where = NOW) -> Answer:
    """
    Change one thing in a day of the record and show the difference, with its interval.

    thawline replay change --day 2026-02-03 --draw-table 11:30
    thawline replay change --station chair --people 1 --from 11:30 --to 13:30 --day 2026-02-03

    Records nothing. The same people come, and each takes as long as without the change, so the
    difference is the change's and not chance's. Where the played day is not like the day that
    was, it says so. Ask about one change at a time.
    """
    site = site_named(where.site)
    asked = _one_of(one)
    replay = asked_for(site, which, where.at)
    changed, says = _changed(site, replay, one, asked)
    few = replace(which, days=min(which.days, _FEW))
    result = compared(
        replay, changed, says, lambda days: played(days, which), lambda days: played(days, few)
    )
    return Answer(
        data={
            **changed_data(result, site.zone),
            "service_times": times_data(replay),
            "within_min": which.within_min,
            "days": result.days,
            "seed": which.seed,
        },
        text=_text(result, which, site.zone),
        alerts=alerts(replay, held_against(replay, result.before, which), site.zone),
        not_known=times_not_known(replay),
        protocol=replay.ref,
    )


def changed_data(changed: Changed, zone: ZoneInfo) -> dict[str, Any]:
    """Return the JSON form of what a change does."""
    begins = changed.replay.begins
    return {
        "day": changed.replay.day.isoformat(),
        "change": changed.says,
        "figures": {name: _data(each) for name, each in changed.found.items()},
        "worst_half_hour": {
            "from": written(Instant(begins + changed.half * HALF_HOUR), zone),
            "mean_wait_s": _data(changed.worst),
        },
        "if_turns_take": [
            {"mean_s": turn_s, "mean_wait_s": _data(wait), "worst_half_hour_s": _data(worst)}
            for turn_s, (wait, worst) in changed.ends.items()
        ],
        "begins": written(begins, zone),
        "matters_from_drawing_s": _from_s(changed),
    }


def _from_s(changed: Changed) -> int | None:
    return None if changed.tables_matter is None else changed.tables_matter.from_s


def _one_of(one: One) -> str:
    """Return which change is asked for; raise unless it is one."""
    given = {
        "--draw-table": one.draw_table,
        "--station": one.station,
        "--vials-fewer": one.vials_fewer,
        "--no-show": one.no_show,
    }
    named = [name for name, value in given.items() if value is not None]
    if len(named) != 1:
        said = " and ".join(named) if named else "none"
        raise RecordError(
            f"one change at a time, and {said} is asked for",
            advice=f"give one of {', '.join(given)}",
        )
    if named != ["--station"] and (one.people, one.since, one.until) != (None, None, None):
        raise RecordError(
            "--people, --from and --to go with --station", advice="leave them out"
        )
    return named[0]


def _changed(site: Site, replay: Replay, one: One, asked: str) -> Asked:
    """Return the day with the change, and the change in words."""
    if one.draw_table is not None:
        return one_table_more(replay, _at(site, replay, one.draw_table), site.zone)
    if one.station is not None:
        return _people(site, replay, one, one.station)
    if one.vials_fewer is not None:
        return vials_fewer(replay, one.vials_fewer)
    assert one.no_show is not None, asked  # noqa: S101  the last of the four
    return stays_away(replay, one.no_show)


def _people(site: Site, replay: Replay, one: One, station: str) -> Asked:
    if one.people is None or one.since is None:
        raise RecordError(
            "not all is said of the people at the station",
            advice="as in --station chair --people 1 --from 11:30 --to 13:30",
        )
    until = None if one.until is None else _at(site, replay, one.until)
    between = (_at(site, replay, one.since), until)
    return people_more(replay, station, one.people, between, site.zone)


def _at(site: Site, replay: Replay, text: str) -> Instant:
    """Return a time of the day that is asked about."""
    return moment(text, local_instant(replay.day, _NOON, site.zone), site.zone)


def _data(each: Difference) -> dict[str, Any]:
    return {
        "before": each.before,
        "after": each.after,
        "difference": each.by.value,
        "low": each.by.low,
        "high": each.by.high,
    }


def _text(changed: Changed, which: Which, zone: ZoneInfo) -> str:
    replay = changed.replay
    return "\n".join(
        [
            f"{day_name(replay.day)}, changed: {changed.says}.",
            change_table(changed, zone),
            *_without(changed),
            *([] if changed.tables_matter is None else [wrapped(tables_matter(changed), 2)]),
            wrapped(how_sure(changed), 2),
            wrapped(
                f"Means over {changed.days:,} simulated days, seed {which.seed}, each played "
                "twice with the same people and turns; in brackets the 95 % interval of the "
                f"difference. Promised: less than {which.within_min:g} min for a chair.",
                2,
            ),
            wrapped(times_text(replay), 2),
        ]
    )


def _without(changed: Changed) -> list[str]:
    """Return what a shorter day comes from where people go without a dose."""
    without = changed.found["without_dose"].by.value
    if without <= 0:
        return []
    says = f"{without:.1f} more people go without a dose; a day that ends sooner ends for that."
    return [wrapped(says, 2)]


def tables_matter(changed: Changed) -> str:
    """Return from how long a dose in drawing the tables matter, in words."""
    matter = changed.tables_matter
    assert matter is not None  # noqa: S101  asked where tables are changed
    if matter.from_s is None:
        return "The draw tables do not matter, not even at ten minutes a dose."
    from_s, here = f"{matter.from_s} s a dose", f"{matter.drawing_s:.0f} s"
    if matter.from_s > matter.drawing_s:
        return f"It matters from {from_s} on (a second of waiting a person); taken is {here}."
    return f"It matters at the {here} taken, and from {from_s} on: time your own table."


def how_sure(changed: Changed) -> str:
    """Return what the difference would be, were the turns as short or as long as may be."""
    if not changed.ends:
        return (
            "The times of the example have no interval: the difference is as sure as they are."
        )
    if not any(wait.by.value for wait, _ in changed.ends.values()):
        turns = " and of ".join(f"{turn_s:.0f} s" for turn_s in changed.ends)
        return f"How long a turn takes is itself not exact: the same wait at turns of {turns}."
    said = [
        f"{difference('mean_wait_s', wait)} min at turns of {turn_s:.0f} s"
        for turn_s, (wait, _) in changed.ends.items()
    ]
    return (
        "How long a turn takes is itself not exact: the mean wait changes by "
        f"{' and by '.join(said)}."
    )


def change_table(changed: Changed, zone: ZoneInfo) -> str:
    """Return the figures before and after, with the difference."""
    starts = Instant(changed.replay.begins + changed.half * HALF_HOUR)
    clock = clock_time(starts, zone, changed.replay.day)
    ends = clock_time(Instant(starts + HALF_HOUR), zone, changed.replay.day)
    rows = [
        [name_of(name), *_cells(name, each, changed.replay, zone)]
        for name, each in changed.found.items()
    ]
    of_worst = [f"mean wait of those ready {clock} to {ends}, min"]
    rows.insert(2, [*of_worst, *_cells("mean_wait_s", changed.worst, changed.replay, zone)])
    return table(("", "as it was", "changed", "difference"), rows, right=(1, 2, 3))


def _cells(name: str, each: Difference, replay: Replay, zone: ZoneInfo) -> list[str]:
    return [
        shown(name, each.before, replay, zone),
        shown(name, each.after, replay, zone),
        difference(name, each),
    ]


def difference(name: str, each: Difference) -> str:
    """Return a difference with its interval, in minutes where it is a time."""
    unit = _MINUTE if name.endswith("_s") else 1
    value, low, high = (part / unit for part in (each.by.value, each.by.low, each.by.high))
    if value == low == high == 0:
        return "0"
    said = "min " if name == "last_dose_s" else ""
    digits = 2 if name.endswith("wait_s") else 1
    low_to_high = f"{low:+.{digits}f} to {high:+.{digits}f}"
    return f"{value:+.{digits}f} {said}({low_to_high})"
