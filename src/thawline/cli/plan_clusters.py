"""`thawline plan clusters`: the bookings of a quiet day gathered so that vials are filled."""

from typing import Any
from zoneinfo import ZoneInfo

from thawline.base.durations import spoken
from thawline.base.errors import RecordError
from thawline.base.instants import written
from thawline.cli.answers import Answer
from thawline.cli.options import Where
from thawline.cli.plan_thaw import FROM_SITE, NOW, FromFile, day_planned
from thawline.cli.text import clock_time, counted, table, wrapped
from thawline.plan.clusters import Cluster, Gathered, OneVial, gathered, one_vial
from thawline.plan.no_show import percent

_HEAD = ["cluster", "last place", "staying", "moving in"]


def clusters(
    *,
    on: str | None = None,
    no_show: str | None = None,
    where: Where = NOW,
    file: FromFile = FROM_SITE,
) -> Answer:
    """
    Propose to gather a quiet day's bookings so that each opened vial is used up.

    thawline plan clusters --site oddmoor --on 2026-02-04 --no-show 0.15
    thawline plan clusters --bookings wed.csv --zone America/Chicago --no-show 0.15

    Moves nobody and records nothing. Each cluster holds as many people as a vial has doses,
    inside the life of one opened vial, around the times where most are booked already.

    Parameters
    ----------
    on
        The day, as in 2026-02-04; the next day with bookings if left out.
    no_show
        The share that stays away, as in 0.15; learned from earlier days here if left out.
    """
    planned, _ = day_planned(on, no_show, 0.95, where, file)
    opened, places = planned.keeps.opened, [slot.at for slot in planned.day.coming]
    if opened is None:
        raise RecordError("the protocol does not say how long an open vial keeps")
    groups = [planned.no_show.share(slot.group) for slot in planned.day.coming]
    share = sum(groups) / max(1, len(groups))
    doses = planned.rule.doses_per_vial
    found = gathered(places, share, doses, opened.allows)
    beside = one_vial(doses, share)
    zone = planned.day.zone
    life = f"{spoken(opened.allows)} (item {opened.item})"
    return Answer(
        data={
            "day": planned.day.day.isoformat(),
            "booked": len(places),
            "no_show": share,
            "doses_per_vial": doses,
            "expected_wasted_as_booked": found.wasted_as_booked,
            "expected_wasted_gathered": found.wasted_gathered,
            "moved": found.moved,
            "clusters": [_data(each, zone) for each in found.clusters],
            "one_vial": [_vial(each) for each in beside],
        },
        text=_text(found, beside, (share, life), zone),
        protocol=planned.ref,
    )


def _text(
    found: Gathered, beside: tuple[OneVial, ...], told: tuple[float, str], zone: ZoneInfo
) -> str:
    share, life = told
    rows = [
        [
            clock_time(each.first, zone, None),
            clock_time(each.last, zone, None),
            str(len(each.staying)),
            str(len(each.moving)),
        ]
        for each in found.clusters
    ]
    vial = [
        [str(v.booked), f"{v.expected_wasted:.2f}", f"{v.expected_turned_away:.2f}"]
        for v in beside
    ]
    return "\n".join(
        [
            wrapped(
                f"As booked {found.wasted_as_booked:.2f} doses are wasted on average, gathered "
                f"{found.wasted_gathered:.2f}; {counted(found.moved, 'place')} would move. "
                f"{percent(share)} stay away; an opened vial lasts {life}. Opened when asked, "
                "one shared draw table; worked out exactly, nothing drawn by lot."
            ),
            table(_HEAD, rows, [2, 3]),
            "",
            wrapped("One vial for so many booked, and no second one:"),
            table(["booked", "wasted", "without a dose"], vial, [0, 1, 2]),
        ]
    )


def _data(cluster: Cluster, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "first": written(cluster.first, zone),
        "last": written(cluster.last, zone),
        "staying": len(cluster.staying),
        "moving_from": [written(at, zone) for at in cluster.moving],
    }


def _vial(vial: OneVial) -> dict[str, Any]:
    return {
        "booked": vial.booked,
        "expected_wasted": vial.expected_wasted,
        "expected_turned_away": vial.expected_turned_away,
    }
