"""How the rolling thaw is shown: JSON keys, what to move now, targets, rules and prices."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.rolling import RollingPlan
from thawline.base.durations import spoken
from thawline.base.instants import written
from thawline.cli.text import clock_time, counted, table, wrapped
from thawline.plan.no_show import percent
from thawline.plan.rolling import Target
from thawline.plan.thaw_days import CameTo, Mean


def rolling_data(plan: RollingPlan, zone: ZoneInfo) -> dict[str, Any]:
    """Return the JSON form; `error` is a standard error."""
    prices = plan.prices
    return {
        "service_fridge": plan.services[0],
        "service_table": plan.services[1],
        "prices_doses": None
        if prices is None
        else {
            "person": prices.person,
            "fridge_surplus": prices.chilled,
            "table_surplus": prices.on_table,
        },
        "again_min": plan.again.total_seconds() / 60,
        "no_show_mean": plan.spread.mean,
        "no_show_today": plan.no_show_today,
        "day_spread": plan.spread.spread,
        "day_spread_says": plan.spread.says,
        "walk_ups_says": plan.walk_ups.says,
        "walk_ups_expected": sum(plan.walk_ups.mean.values()),
        "early_and_late": {str(k): share for k, share in plan.shifts.shares.items()},
        "early_and_late_says": plan.shifts.says,
        "came_so_far": plan.came,
        "at": written(plan.targets[0].at, zone),
        "move": {
            "to_fridge": plan.moves.to_fridge,
            "to_table": plan.moves.to_table,
            "straight_to_table": plan.moves.straight,
        },
        "targets": [_target(each, zone) for each in plan.targets],
        "rules": [_rule(each, priced=prices is not None) for each in plan.played],
        "days": plan.days,
        "seed": plan.seed,
    }


def rolling_text(plan: RollingPlan, zone: ZoneInfo, today: date) -> str:
    """Return the rolling thaw for people."""
    moves, fridge, warm = plan.moves, *plan.services
    at = clock_time(plan.targets[0].at, zone, today)
    lines = [
        f"Rolling thaw, asked again every {spoken(plan.again)}. At {at} move: "
        f"{counted(moves.to_fridge, 'vial')} to the fridge, {moves.to_table} from the fridge "
        f"to the table, {moves.straight} straight to the table.",
        f"Enough at {percent(fridge)} for the fridge and {percent(warm)} for the table"
        f"{_priced(plan)}.",
        f"No-shows {percent(plan.spread.mean)}, from day to day ± "
        f"{percent(plan.spread.spread)} ({plan.spread.says}). Walk-ups: {plan.walk_ups.says}. "
        f"Early and late: {plan.shifts.says}. Came so far with a booking: "
        f"{plan.came}; no-shows of this day by that: {percent(plan.no_show_today)}.",
    ]
    head = ["asked at", "people", "thawed", "on table", "straight"]
    rows = [
        [clock_time(each.at, zone, today), str(each.people), *map(str, _vials(each))]
        for each in plan.targets
    ]
    return "\n".join(
        [
            "",
            *map(wrapped, lines),
            table(head, rows, [1, 2, 3, 4]),
            wrapped(
                "Vials there should be in all from now on, beyond the doses that are ready, as "
                "seen now: as people come or stay away the next asking moves fewer or more. "
                "People: enough until then. Where the two tables differ, this one knows more."
            ),
            "",
            _rules(plan),
            wrapped(
                f"On average over {plan.days:,} days played from the start, seed {plan.seed}, "
                "± the standard error. Surplus: doses thawed and not opened. None ready: "
                "people who came while no dose was ready, each charged as one without a dose."
            ),
        ]
    )


def _priced(plan: RollingPlan) -> str:
    prices = plan.prices
    if prices is None:
        return ""
    return (
        f": a person without a dose costs {prices.person:g} doses, a dose too many in the "
        f"fridge {prices.chilled:g}, on the table {prices.on_table:g}"
    )


def _rules(plan: RollingPlan) -> str:
    head = ["rule", "vials", "surplus doses", "without a dose", "none ready"]
    rows = [
        [
            each.rule,
            f"{each.vials.value:.1f}",
            *(_shown(mean) for mean in (each.surplus, each.without, each.none_ready)),
            *([_shown(each.price)] if plan.prices else []),
        ]
        for each in plan.played
    ]
    head += ["price in doses"] if plan.prices else []
    return table(head, rows, list(range(1, len(head))))


def _shown(mean: Mean) -> str:
    return f"{mean.value:.2f} ± {mean.error:.2f}"


def _vials(target: Target) -> tuple[int, int, int]:
    return target.thawed, target.on_table, target.straight


def _target(target: Target, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "at": written(target.at, zone),
        "people_enough": target.people,
        "thawed_vials": target.thawed,
        "on_table_vials": target.on_table,
        "straight_vials": target.straight,
    }


def _rule(came: CameTo, *, priced: bool) -> dict[str, Any]:
    shown = {
        "expected_vials": came.vials,
        "expected_surplus_doses": came.surplus,
        "expected_without_dose": came.without,
        "expected_none_ready": came.none_ready,
    }
    means = {key: {"mean": mean.value, "error": mean.error} for key, mean in shown.items()}
    price = {"mean": came.price.value, "error": came.price.error} if priced else None
    return {"rule": came.rule, **means, "price_doses": price}
