"""The tour's lunch dip: Harrowmint's Tuesday played again, with one person more."""

from datetime import time
from typing import Any

from thawline.app.replay_changes import Changed
from thawline.base.instants import Instant, local_time
from thawline.cli.demo_text import part
from thawline.cli.replay_change import difference, how_sure, tables_matter
from thawline.cli.replay_page import half_hours_table, times_text
from thawline.cli.text import clock_time, day_name
from thawline.demo.building import Built
from thawline.demo.lunch_dip import LUNCH, SEED
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.replay_change import Difference

_SHOWN = (time(11), time(14))
_MINUTE = 60


def lunch_dip(built: Built) -> list[str]:
    """Return the part of the page."""
    zone, dip = built.site.zone, built.lunch
    shown = [
        each
        for each in dip.found.halves
        if _SHOWN[0] <= local_time(each.recorded.starts, zone) < _SHOWN[1]
    ]
    return part(
        f"14. {day_name(built.day)}, {LUNCH[0]:%H:%M} to {LUNCH[1]:%H:%M}: half the staff at "
        "lunch; what would one more have saved?",
        half_hours_table(shown, dip.replay, zone).splitlines(),
        *(_saved(each, built) for each in (dip.preparer, dip.vaccinator)),
        f"{how_sure(dip.vaccinator)} {dip.vaccinator.days:,} simulated days, seed {SEED}; "
        "in brackets the 95 % interval.",
        times_text(dip.replay),
    )


def lunch_data(built: Built) -> dict[str, Any]:
    """Return the figures of the part."""
    dip = built.lunch
    return {
        "lunch_fits": not dip.found.off and not dip.found.off_halves,
        "lunch_preparer_more_wait_min": _minutes(dip.preparer.found["mean_wait_s"]),
        "lunch_vaccinator_more_wait_min": _minutes(dip.vaccinator.found["mean_wait_s"]),
        "lunch_vaccinator_more_worst_half_wait_min": _minutes(dip.vaccinator.worst),
    }


def _saved(changed: Changed, built: Built) -> str:
    """Return what one person more saves, in words."""
    wait, worst = changed.found["mean_wait_s"], changed.worst
    if not wait.by.value and not worst.by.value:
        return (
            f"{changed.says.capitalize()}: 0 min. No chair waits for a dose on any of these "
            f"days: it is the chairs that are short. {tables_matter(changed)}"
        )
    starts = Instant(changed.replay.begins + changed.half * HALF_HOUR)
    first, last = (
        clock_time(at, built.site.zone, built.day)
        for at in (starts, Instant(starts + HALF_HOUR))
    )
    return (
        f"{changed.says.capitalize()}: the mean wait changes by "
        f"{difference('mean_wait_s', wait)} min over the day, for those ready {first} to "
        f"{last} by {difference('mean_wait_s', worst)} min."
    )


def _minutes(each: Difference) -> list[float]:
    return [each_s / _MINUTE for each_s in (each.by.value, each.by.low, each.by.high)]
