"""`thawline replay day`: what happened on a day, beside the same day simulated."""

from collections.abc import Iterator
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.replays import Replay
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, written
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Where
from thawline.cli.replay_options import Which, asked_for, played
from thawline.cli.replay_page import day_text, times_data, times_not_known
from thawline.cli.text import clock_time
from thawline.plan.replay import Replays
from thawline.plan.replay_fit import Beside, Fit, fit

ANY = Which()
NOW = Where()
_MINUTE = 60
_HEAD = (
    *("from", "ready", "doses", "simulated_doses_low", "simulated_doses_high"),
    *("mean_wait_s", "simulated_wait_low_s", "simulated_wait_high_s"),
)


def day(*, which: Which = ANY, where: Where = NOW) -> Answer:
    """
    Show a day of the record, and the same people come to it again on simulated days.

    thawline replay day --day 2026-02-03
    thawline replay day --site harrowmint --day 2026-02-03 --days 2000 --seed 7

    Records nothing. Who came and when is taken from the record; how long each person keeps a
    chair is drawn by lot from the site's own times. Where the two differ, it says so.
    """
    site = site_named(where.site)
    replay = asked_for(site, which, where.at)
    (replays,) = played([replay.played], which)
    found = held_against(replay, replays, which)
    return Answer(
        data=day_data(replay, found, which, site.zone) | {"days": replays.days},
        text=day_text(replay, found, replays, which.promise, site.zone),
        alerts=alerts(replay, found, site.zone),
        not_known=not_known(replay),
        protocol=replay.ref,
        csv=[_HEAD, *_rows(found, site.zone)],
    )


def held_against(replay: Replay, replays: Replays, which: Which) -> Fit:
    """Return the record beside the played days."""
    vials = (replay.vials_opened, replay.played.vials.doses)
    return fit(replay.recorded, replay.begins, vials, replays, which.promise)


def _rows(found: Fit, zone: ZoneInfo) -> Iterator[list[object]]:
    """Yield the half hours for `--csv`; what is not known is empty there."""
    for each in found.halves:
        wait, doses = each.wait_s, each.doses
        waits = [None] * 3 if wait is None else [wait.recorded, wait.low, wait.high]
        starts = written(each.recorded.starts, zone)
        yield [starts, each.recorded.ready, each.recorded.doses, doses.low, doses.high, *waits]


def day_data(replay: Replay, found: Fit, which: Which, zone: ZoneInfo) -> dict[str, Any]:
    """Return the JSON form."""
    record = replay.recorded
    return {
        "day": replay.day.isoformat(),
        "booked": record.booked,
        "came": record.came,
        "stayed_away": record.stayed_away,
        "to_come": replay.to_come,
        "walk_ups": record.walk_ups,
        "seated": record.seated,
        "screening_stamped": record.stamped,
        "late_by_min": [each.total_seconds() / _MINUTE for each in record.late_by],
        "way_to_chair_s": record.way.total_seconds(),
        "figures": {name: _figure(each) for name, each in found.figures.items()},
        "half_hours": [
            {
                "from": written(each.recorded.starts, zone),
                "ready": each.recorded.ready,
                "doses": _figure(each.doses),
                "mean_wait_s": None if each.wait_s is None else _figure(each.wait_s),
            }
            for each in found.halves
        ],
        "begins": written(replay.begins, zone),
        "fits": not found.off and not found.off_halves,
        "off": [*found.off, *(written(at, zone) for at in found.off_halves)],
        "service_times": times_data(replay),
        "within_min": which.within_min,
        "seed": which.seed,
    }


def alerts(replay: Replay, found: Fit, zone: ZoneInfo) -> tuple[Finding, ...]:
    """Return a finding where the played day is not like the day that was."""
    said = [name.removesuffix("_s").replace("_", " ") for name in found.off]
    said += [_half(at, replay, zone) for at in found.off_halves]
    if not said:
        return ()
    says = (
        f"The played day is not like the day that was: {', '.join(said)}. What a change "
        "does to it is then not sure either; look at who was at work when."
    )
    return (Finding(Level.CHECK, "does-not-fit", says),)


def not_known(replay: Replay) -> tuple[str, ...]:
    """Return what nobody stamps, or what too little was stamped of."""
    waits = () if replay.recorded.waits else ("figures.mean_wait_s.recorded",)
    return (*times_not_known(replay), *waits)


def _half(at: Instant, replay: Replay, zone: ZoneInfo) -> str:
    return f"waits from {clock_time(at, zone, replay.day)}"


def _figure(each: Beside) -> dict[str, Any]:
    return {
        "recorded": each.recorded,
        "mean": each.played.mean,
        "error": each.played.error,
        "low": each.low,
        "high": each.high,
        "fits": each.fits,
    }
