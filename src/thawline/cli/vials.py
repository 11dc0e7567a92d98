"""How a vial's reckoning is shown: the stable JSON keys, and a few lines of text."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.acts import Outcome
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.app.standings import Stood, stood
from thawline.base.instants import Instant, from_ms, local_date, written
from thawline.cli.acting import recorded
from thawline.cli.answers import Answer
from thawline.cli.text import NONE, UNKNOWN, clock_time, counted, table, time_left
from thawline.vial.clocks import Running
from thawline.vial.leaving import HELD
from thawline.vial.reckon import Reckoning, State

_MINUTE = timedelta(minutes=1)


def reckoning_data(reckoning: Reckoning, zone: ZoneInfo, at: Instant) -> dict[str, Any]:
    """Return the JSON form: instants with the place's offset, minutes left rounded down."""
    return {
        "state": reckoning.state.value,
        "usable": reckoning.usable,
        "ready_at": _iso(reckoning.ready_at, zone),
        "use_by": _iso(reckoning.use_by, zone),
        "set_by": reckoning.set_by,
        "clocks": [_clock(clock, zone, at) for clock in reckoning.clocks],
    }


def reckoning_text(reckoning: Reckoning, zone: ZoneInfo, at: Instant) -> str:
    """Return the state, the use-by and a table of the clocks."""
    today = local_date(at, zone)
    until = clock_time(reckoning.use_by, zone, today) if reckoning.use_by else "?"
    says = f"{reckoning.state}, use by {until}"
    if reckoning.set_by:
        item = f", item {reckoning.set_by_item}" if reckoning.set_by_item else ""
        says += f" (set by {reckoning.set_by}{item})"
    if not reckoning.usable:
        says += ", not usable"
    elif reckoning.ready_at and reckoning.ready_at > at:
        says += f", ready {clock_time(reckoning.ready_at, zone, today)}"
    rows = [
        [
            clock.clock,
            clock.item or "-",
            clock_time(clock.started, zone, today),
            clock_time(clock.ends, zone, today) if clock.ends else "paused",
            _clock_left(clock, at),
        ]
        for clock in reckoning.clocks
    ]
    return f"{says}\n{table(['clock', 'item', 'started', 'ends', 'left'], rows)}"


def _clock_left(clock: Running, at: Instant) -> str:
    passed = clock.ends is not None and clock.ends <= at
    return "passed" if passed else time_left(clock.left(at))


def _clock(clock: Running, zone: ZoneInfo, at: Instant) -> dict[str, Any]:
    return {
        "clock": clock.clock,
        "item": clock.item,
        "started": _iso(clock.started, zone),
        "ends": _iso(clock.ends, zone),
        "used_min": None if clock.used is None else -(-clock.used // _MINUTE),
        "left_min": None if (left := clock.left(at)) is None else left // _MINUTE,
    }


def _iso(at: Instant | None, zone: ZoneInfo) -> str | None:
    return None if at is None else written(at, zone)


def listed(stands: Sequence[Stood], zone: ZoneInfo, at: Instant) -> str:
    """Return the table of vials, the one to use first at the top, and a line that sums up."""
    today = local_date(at, zone)
    rows = [
        [
            each.code,
            each.vial.lot,
            str(each.vial.left),
            each.reckoning.state.value,
            clock_time(each.reckoning.use_by, zone, today)
            if each.reckoning.use_by
            else UNKNOWN,
            _left(each, at),
        ]
        for each in stands
    ]
    shown = table(["vial", "lot", "doses", "state", "use by", "time left"], rows, right=[2])
    usable = [each for each in stands if _may_be_used(each)]
    doses = sum(max(each.vial.left, 0) for each in usable)
    return (
        f"{shown}\n{counted(len(stands), 'vial')}; "
        f"{counted(doses, 'dose')} in {counted(len(usable), 'vial')} that may be used"
    )


def _may_be_used(each: Stood) -> bool:
    return each.reckoning.usable and each.vial.left > 0 and each.vial.sent_to is None


def _until(each: Stood, zone: ZoneInfo, today: date) -> str:
    use_by = each.reckoning.use_by
    return UNKNOWN if use_by is None else clock_time(use_by, zone, today)


def _left(each: Stood, at: Instant) -> str:
    if each.vial.sent_to is not None:
        return f"sent to {each.vial.sent_to}"
    if each.reckoning.state is State.HELD:
        return HELD
    if not each.reckoning.usable or each.reckoning.use_by is None:
        return "not usable" if each.reckoning.state is not State.DISCARDED else NONE
    return time_left(each.reckoning.use_by - at)


def vial_data(each: Stood, zone: ZoneInfo, at: Instant) -> dict[str, Any]:
    """Return the JSON form of a vial with its reckoning."""
    return {
        "vial": each.code,
        "lot": each.vial.lot,
        "expiry": each.vial.expiry,
        "doses_left": each.vial.left,
        "doses_drawn": each.vial.drawn,
        "station": each.vial.station or None,
        "sent_to": each.vial.sent_to,
        **reckoning_data(each.reckoning, zone, at),
    }


def vial_text(each: Stood, zone: ZoneInfo, at: Instant) -> str:
    """Return a vial's page: what it is, its clocks, and what was done to it."""
    today = local_date(at, zone)
    head = (
        f"{each.code}, lot {each.vial.lot}, expiry {each.vial.expiry or UNKNOWN}, "
        f"{counted(each.vial.left, 'dose')} left by the book"
    )
    rows = [
        [
            clock_time(from_ms(row.lo_ms), zone, today),
            row.what.value,
            counted(row.doses, "dose") if row.doses else row.why or row.by or NONE,
        ]
        for row in each.vial.rows
    ]
    done = table(["when", "what", "how"], rows)
    return f"{head}\n{reckoning_text(each.reckoning, zone, at)}\n\n{done}".rstrip()


def csv_rows(stands: Sequence[Stood], zone: ZoneInfo, at: Instant) -> list[list[object]]:
    """Return the vials as rows for a spreadsheet, the header first."""
    keys = ["vial", "lot", "doses_left", "state", "usable", "use_by", "set_by"]
    return [list(keys), *([vial_data(each, zone, at)[key] for key in keys] for each in stands)]


def flag_lines(
    site: Site, codes: Sequence[str], at: Instant, what: str, *, done: bool
) -> tuple[str, dict[str, Any]]:
    """
    Return what to write on the flags of these vials: code, use-by, and when it is ready.

    Nothing but the count where the act was only tried out: the vials have not changed.
    """
    says = f"{counted(len(codes), 'vial')} {what}"
    if not done:
        return says, {}
    with site.ledger.view() as view:
        rules = in_force(site, view, at)
        stands = [stood(view, rules, code, at) for code in codes]
    today = local_date(at, site.zone)
    rows = [[each.code, each.vial.lot, *_flag(each, site.zone, today)] for each in stands]
    shown = table(["vial", "lot", "use by", "set by", "ready"], rows)
    data = {"vials": [vial_data(each, site.zone, at) for each in stands]}
    return f"{says}\n{shown}", data


def _flag(each: Stood, zone: ZoneInfo, today: date) -> list[str]:
    found = each.reckoning
    if found.state is State.HELD:
        return [HELD, NONE, NONE]
    if not found.usable:
        return ["not usable", found.set_by or UNKNOWN, NONE]
    until = clock_time(found.use_by, zone, today)
    return [until, found.set_by or UNKNOWN, clock_time(found.ready_at, zone, today)]


def flagged(outcome: Outcome, site: Site, codes: list[str], at: Instant, what: str) -> Answer:
    """Return the answer of an act on vials: what to write on their flags."""
    done = outcome.receipt is not None
    return recorded(outcome, site, *flag_lines(site, codes, at, what, done=done))
