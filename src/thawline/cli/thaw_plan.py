"""How a thaw plan is shown: the JSON keys, the table of half-hours, and what it rests on."""

from typing import Any
from zoneinfo import ZoneInfo

from thawline.app.plans import Planned
from thawline.base.durations import spoken
from thawline.base.instants import Instant, written
from thawline.cli.text import clock_time, counted, day_name, table, wrapped
from thawline.plan.moves import Keeping, cost_in_words
from thawline.plan.thaw import Between, Need, Outcome

HEAD = [
    *("half-hour", "booked", "low", "likely", "high", "vials", "in all"),
    *("to fridge by", "to table by", "straight by", "short"),
]
_RIGHT = list(range(1, 11))


def plan_data(planned: Planned) -> dict[str, Any]:
    """Return the JSON form; what chance decides is `expected_` or `chance_`."""
    plan, zone = planned.plan, planned.day.zone
    as_of = planned.day.as_of
    return {
        "day": planned.day.day.isoformat(),
        "zone": zone.key,
        "bookings_as_of": None if as_of is None else written(as_of, zone),
        "booked": plan.booked,
        "passed_without_dose": planned.day.passed,
        "no_show": {
            "said_by": planned.no_show.said_by.value,
            "says": planned.no_show.says,
            "shares": dict(planned.no_show.shares),
        },
        "service": plan.service,
        "ready_doses": planned.on_hand.ready_doses,
        "chilled_vials": planned.on_hand.chilled_vials,
        "expected_people": plan.expected_people,
        "people": _between(plan.people),
        "vials": _between(plan.vials),
        "planned_vials": plan.planned_vials,
        "to_fridge_before_first": planned.before_first,
        "chance_short_once": plan.chance_short_once,
        "half_hours": [_need(need, zone) for need in plan.needs],
        "one_vial": [_outcome(outcome) for outcome in plan.one_vial],
        "keeps": {
            "thawed": _keeping(planned.keeps.thawed),
            "on_table": _keeping(planned.keeps.on_table),
            "opened": _keeping(planned.keeps.opened),
        },
    }


def plan_text(planned: Planned) -> str:
    """Return the plan for people: what it rests on, the half-hours, and the price of a vial."""
    rests_on = [*_rests_on(planned), _on_hand(planned)]
    means = [cost_in_words(planned.keeps), _before_first(planned)]
    means.append(
        "Taken for granted: people come in their half-hour, each by themselves. "
        "Walk-ups are not in it."
    )
    return "\n".join(
        [
            *(wrapped(line) for line in rests_on if line),
            table(HEAD, plan_rows(planned), _RIGHT),
            _one_vial(planned),
            *(wrapped(line) for line in means if line),
        ]
    )


def _rests_on(planned: Planned) -> list[str]:
    plan, day, vials = planned.plan, planned.day, planned.plan.vials
    return [
        f"Thaw plan for {day_name(day.day)}: {counted(plan.planned_vials, 'vial')} "
        f"(low {vials.low}, likely {vials.likely}, high {vials.high}) "
        f"for {counted(plan.booked, 'booking')}.",
        f"Bookings as of {_as_of(day.as_of, day.zone)}. No-shows: {planned.no_show.says}.",
        f"Enough at {_chance(plan.service)} by the end of each half-hour; short at least once "
        f"in the day: {_chance(plan.chance_short_once)}.",
        "Low, likely, high: people who have come when the half-hour ends. "
        "Straight: from the freezer to the table.",
    ]


def _before_first(planned: Planned) -> str:
    if not planned.before_first:
        return ""
    return (
        f"{counted(planned.before_first, 'vial')} must be in the fridge before the first "
        "person is due; where nobody is there at that hour, move them the evening before."
    )


def plan_rows(planned: Planned) -> list[list[str]]:
    """Return a row of text for each half-hour; moments of vials on hand already are `-`."""
    return [_row(need, planned) for need in planned.plan.needs]


def _row(need: Need, planned: Planned) -> list[str]:
    zone, today = planned.day.zone, planned.day.day
    people = need.people_so_far
    frozen, moved = need.to_fridge > 0, need.to_table > 0
    return [
        clock_time(need.starts, zone, today),
        str(need.booked),
        str(people.low),
        str(people.likely),
        str(people.high),
        str(need.to_table),
        str(need.vials_so_far),
        clock_time(need.fridge_by if frozen else None, zone, today),
        clock_time(need.table_by if moved else None, zone, today),
        clock_time(need.straight_by if frozen else None, zone, today),
        _chance(need.chance_short),
    ]


def _one_vial(planned: Planned) -> str:
    names = {-1: "one vial fewer", 0: "as planned", 1: "one vial more"}
    rows = [
        [
            names[outcome.vials - planned.plan.planned_vials],
            str(outcome.vials),
            _chance(outcome.chance_short),
            f"{outcome.expected_turned_away:.2f}",
            f"{outcome.expected_left_over:.1f}",
        ]
        for outcome in planned.plan.one_vial
    ]
    head = ["by the end", "vials", "short", "turned away", "doses left over"]
    return f"\n{table(head, rows, [1, 2, 3, 4])}"


def _on_hand(planned: Planned) -> str:
    ready, chilled = planned.on_hand.ready_doses, planned.on_hand.chilled_vials
    says = []
    if ready or chilled:
        vials = counted(chilled, "chilled vial")
        says.append(f"Taken off: {counted(ready, 'dose')} ready or open, {vials}.")
    if planned.day.passed:
        people = counted(planned.day.passed, "booking")
        says.append(f"{people} of half-hours that are over had no dose and are not counted.")
    return " ".join(says)


def _as_of(as_of: Instant | None, zone: ZoneInfo) -> str:
    return "? (not known)" if as_of is None else clock_time(as_of, zone)


def _chance(chance: float) -> str:
    """Return a chance in percent; never "0 %" for something that can happen."""
    if 0 < chance < 0.0005:  # noqa: PLR2004  the last digit that is shown
        return "<0.1 %"
    return f"{chance:.1%}".replace("%", " %")


def _need(need: Need, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "starts": written(need.starts, zone),
        "booked": need.booked,
        "people_so_far": _between(need.people_so_far),
        "vials": need.to_table,
        "vials_so_far": need.vials_so_far,
        "to_fridge": need.to_fridge,
        "to_fridge_by": written(need.fridge_by, zone) if need.to_fridge else None,
        "to_table_by": written(need.table_by, zone) if need.to_table else None,
        "straight_to_table_by": written(need.straight_by, zone) if need.to_fridge else None,
        "chance_short": need.chance_short,
    }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "vials": outcome.vials,
        "chance_short": outcome.chance_short,
        "expected_turned_away": outcome.expected_turned_away,
        "expected_left_over_doses": outcome.expected_left_over,
    }


def _between(count: Between) -> dict[str, int]:
    return {"low": count.low, "likely": count.likely, "high": count.high}


def _keeping(kept: Keeping | None) -> dict[str, Any] | None:
    if kept is None:
        return None
    return {"item": kept.item, "says": spoken(kept.allows)}
