"""
The tour of the demo: what two minutes at Harrowmint Hall look like, on a terminal.

Every figure on it is read from the ledger, or is what a use case answered on the day.
"""

from typing import Any

from thawline.app.plans import Planned
from thawline.base.findings import Level
from thawline.cli import (
    demo_cold,
    demo_day,
    demo_end,
    demo_last,
    demo_reactions,
    demo_replay,
)
from thawline.cli.demo_text import alerts, part
from thawline.cli.text import WIDTH, clock_time, counted, day_name, table
from thawline.demo import district
from thawline.demo.building import Built
from thawline.demo.folder import BOOKINGS
from thawline.demo.staff import staff
from thawline.plan.moves import cost_in_words

_HOURS_SHOWN = 4


def tour(built: Built) -> str:
    """Return the whole page."""
    parts = [
        [_banner(f"everything here is invented (seed {built.seed})")],
        _region(built),
        _draft(built),
        _plan(built),
        *demo_day.parts(built),
        *demo_end.parts(built),
        [_banner("no figure on this page is advice")],
    ]
    return "\n\n".join("\n".join(each) for each in parts)


def tour_data(built: Built) -> dict[str, Any]:
    """Return the JSON form: the figures of the page."""
    last = built.closed.last
    return {
        "demo": True,
        "home": str(built.home),
        "site": built.site.name,
        "day": built.day.isoformat(),
        "seed": built.seed,
        "booked": built.loaded.booked,
        "planned_vials": built.planned.plan.planned_vials,
        "refused_checks": len(built.seen.refused),
        "syringes_out_at_hold": [len(held.out) for held in built.seen.held],
        **demo_end.closed_data(built.closed),
        **demo_cold.cold_data(built),
        **demo_last.last_data(built),
        **demo_replay.lunch_data(built),
        **demo_reactions.reactions_data(built),
        "second_doses_moved": sum(len(each.planned.slots) for each in built.snow),
        "entries": last.entries,
        "head": last.head.hash.hex(),
    }


def _banner(says: str) -> str:
    return f" DEMO: {says} ".center(WIDTH, "=")


def _region(built: Built) -> list[str]:
    first, last = district.DAYS[0], district.DAYS[-1]
    places = ", ".join(f"{each.title} {each.booked_a_day}" for each in district.PLACES)
    return part(
        f"{district.NAME}, {day_name(first)} to {day_name(last)} {last.year}: "
        f"{district.booked_in_all():,} first doses",
        f"A day: {places}.",
        f"{district.VIALS_SHIPPED:,} vials shipped, {len(staff(built.seed))} staff. "
        f"Vaccine: {district.VACCINE}.",
        f"Played here, act by act: {built.place.title}, {day_name(built.day)}, "
        f"{counted(built.loaded.booked, 'person', 'people')} booked.",
    )


def _draft(built: Built) -> list[str]:
    draft = built.draft
    serious = [each for each in draft.findings if each.level is not Level.CHECK]
    return part(
        f"1. Sunday 20:00: the draft of protocol version {draft.version} has a slip",
        alerts(serious),
        f"It is refused until they are answered; version {built.planned.ref.version} counts on "
        f"{day_name(built.day)}. {draft.figures} figures were looked at.",
    )


def _plan(built: Built) -> list[str]:
    planned, bad = built.planned, built.loaded.bad
    plan = planned.plan
    return part(
        f"2. Monday 16:00: how many vials to thaw for {day_name(built.day)}",
        f"{built.loaded.booked:,} bookings read from {BOOKINGS}; {counted(len(bad), 'row')} "
        "not booked.",
        *(f"Line {each.line}: {each.says}." for each in built.loaded.remarks),
        f"{plan.people.low} to {plan.people.high} people come, likely {plan.people.likely} "
        f"(no-shows: {planned.no_show.says}).",
        f"{counted(plan.planned_vials, 'vial')} to the fridge, {planned.before_first} of them "
        f"before the first person is due: enough at the end of each half-hour in "
        f"{100 * plan.service:.0f} of 100 days. {_ready_by(planned)}",
        _one_vial(planned),
        cost_in_words(planned.keeps),
    )


def _one_vial(planned: Planned) -> list[str]:
    names = {-1: "one vial fewer", 0: "as planned", 1: "one vial more"}
    rows = [
        [
            names[each.vials - planned.plan.planned_vials],
            str(each.vials),
            _days(each.chance_short),
            f"{each.expected_left_over:.1f}",
        ]
        for each in planned.plan.one_vial
    ]
    head = ["by the end", "vials", "short, days in 100", "doses left over"]
    return table(head, rows, [1, 2, 3]).splitlines()


def _ready_by(planned: Planned) -> str:
    """Return how many vials must be ready by some hours of the day."""
    needs = planned.plan.needs[:: len(planned.plan.needs) // _HOURS_SHOWN]
    zone, day = planned.day.zone, planned.day.day
    shown = (f"{each.vials_so_far} by {clock_time(each.starts, zone, day)}" for each in needs)
    return f"Ready to open: {', '.join(shown)}."


def _days(chance: float) -> str:
    """Return a chance as days in 100; never 0 for something that can happen."""
    days = round(100 * chance)
    return f"{days}" if days or not chance else "<1"
