"""`thawline cold units`: every storage unit, how it is known, its alerts, tonight."""

from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.call_chain import chain_lines
from thawline.app.followed_readings import FollowedReadings
from thawline.app.ports import Site
from thawline.app.unit_list import UnitList, UnitNow, unit_list
from thawline.base.instants import Instant, from_ms, local_date, written
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Where
from thawline.cli.text import NONE, UNKNOWN, clock_time, table, time_left, wrapped
from thawline.store.alert_fold import ToldAlert
from thawline.store.units import FOLLOWED

NOW = Where()
_COLUMNS = ("unit", "how known", "last reading", "age", "°C", "band °C", "alerts")
_PER_DEGREE = 1000


def units(*, where: Where = NOW) -> Answer:
    """
    List each storage unit: how it is known, its last reading, its alerts, and tonight.

    thawline cold units --site harrowmint
    thawline cold units --at 17:45 --json

    A night is covered once the site's dialler or a named person has answered a test call.
    """
    site = site_named(where.site)
    at = moment(where.at, site.now(), site.zone)
    found = unit_list(site, FollowedReadings(site, ""), at)
    rows = [_row(each, site.zone, at) for each in found.units]
    return Answer(
        data=_data(found, site, at),
        text=_text(found, rows, site),
        alerts=found.alerts,
        not_known=_not_known(found),
        csv=[_COLUMNS, *rows],
    )


def _text(found: UnitList, rows: list[list[str]], site: Site) -> str:
    none = "No storage unit is named: thawline site unit NAME --band BAND"
    parts = [table(_COLUMNS, rows, right=[4]) if rows else none, wrapped(_tonight(found, site))]
    parts += [
        "\n".join([f"{each.what.called}, {told.cause}:", *lines])
        for each in found.units
        if each.what
        for told in each.alerts
        if (lines := [f"  {line}" for line in chain_lines(site, each.what, told)])
    ]
    return "\n\n".join(parts)


def _row(each: UnitNow, zone: ZoneInfo, at: Instant) -> list[str]:
    last = each.last
    return [
        each.unit.name,
        FOLLOWED[each.unit.followed],
        UNKNOWN if last is None else clock_time(last.at, zone, local_date(at, zone)),
        UNKNOWN if last is None else time_left(at - last.at),
        UNKNOWN if last is None else f"{last.temp_mc / _PER_DEGREE:.1f}",
        _band(each),
        ", ".join(told.cause for told in each.alerts) or NONE,
    ]


def _band(each: UnitNow) -> str:
    if each.what is None:
        return each.unit.band
    figures = each.what.figures
    return " to ".join(f"{mc / _PER_DEGREE:g}" for mc in (figures.low_mc, figures.high_mc))


def _tonight(found: UnitList, site: Site) -> str:
    if found.night is None:
        return "Tonight: NOT COVERED; when the night begins and ends is not known"
    starts, ends = (clock_time(t, site.zone) for t in (found.night.starts, found.night.ends))
    if found.covered is None:
        return f"Night {starts} to {ends}: NOT COVERED"
    call = found.covered
    who = f"the dialler {call.answered_by}" if call.dialler else call.answered_by
    answered, until = (clock_time(t, site.zone) for t in (call.at, call.until))
    return (
        f"Night {starts} to {ends}: covered; {who} answered a test call {answered} "
        f"and is there until {until}"
    )


def _data(found: UnitList, site: Site, at: Instant) -> dict[str, Any]:
    night, covered = found.night, found.covered
    return {
        "site": site.name,
        "asked_at": written(at, site.zone),
        "units": [_unit_data(each, site, at) for each in found.units],
        "night_from": None if night is None else written(night.starts, site.zone),
        "night_to": None if night is None else written(night.ends, site.zone),
        "covered": covered is not None,
        "covered_by": None if covered is None else covered.answered_by,
        "covered_by_dialler": None if covered is None else covered.dialler,
    }


def _unit_data(each: UnitNow, site: Site, at: Instant) -> dict[str, Any]:
    last, figures = each.last, each.what.figures if each.what else None
    return {
        "unit": each.unit.name,
        "title": each.unit.title,
        "followed": each.unit.followed.value,
        "band": each.unit.band,
        "low_c": None if figures is None else figures.low_mc / _PER_DEGREE,
        "high_c": None if figures is None else figures.high_mc / _PER_DEGREE,
        "last_reading": None if last is None else written(last.at, site.zone),
        "last_temp_c": None if last is None else last.temp_mc / _PER_DEGREE,
        "age_min": None if last is None else int((at - last.at).total_seconds() // 60),
        "alerts": [_alert_data(told, site) for told in each.alerts],
    }


def _alert_data(told: ToldAlert, site: Site) -> dict[str, Any]:
    cleared = told.cleared_ms
    return {
        "cause": told.cause,
        "since": written(from_ms(told.since_ms), site.zone),
        "raised": written(from_ms(told.raised_ms), site.zone),
        "cleared": None if cleared is None else written(from_ms(cleared), site.zone),
        "taken_on": told.is_owned,
        "answers": [
            {
                "by": a.by,
                "says": a.says,
                "takes": a.takes,
                "at": written(from_ms(a.at_ms), site.zone),
            }
            for a in told.answers
        ],
    }


def _not_known(found: UnitList) -> list[str]:
    missing = [f"{each.unit.name}.last_reading" for each in found.units if each.last is None]
    return [*missing, *(["night"] if found.night is None else [])]
