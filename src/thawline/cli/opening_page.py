"""How the table of choices for opening vials is shown, and one shared table beside several."""

from datetime import timedelta
from itertools import groupby
from typing import Any

from thawline.base.durations import spoken
from thawline.cli.text import wrapped
from thawline.plan.opened_waste import waste_of_bookings
from thawline.plan.opening import Outlook, Policy


def policy_data(found: Policy, slot_min: int) -> dict[str, Any]:
    """Return what the best choices and opening when asked lead to, as JSON."""
    return {
        "best": _values(found.best, slot_min),
        "open_when_asked": _values(found.open_when_asked, slot_min),
        "open_when_asked_is_best": found.is_open_when_asked,
    }


def table_data(
    booked: int, no_show: float, doses_per_vial: int, tables: int
) -> dict[str, Any] | None:
    """Return the waste of one shared table and of one vial per table; None for one table."""
    if tables == 1:
        return None
    shared = waste_of_bookings(booked, no_show, doses_per_vial)
    own = waste_of_bookings(booked, no_show, doses_per_vial, tables)
    return {
        "tables": tables,
        "shared_wasted": shared.expected_wasted,
        "own_vials_wasted": own.expected_wasted,
    }


def table_text(beside: dict[str, Any]) -> str:
    """Return the waste of one shared table beside one vial per table, for people."""
    return wrapped(
        f"One shared draw table: {beside['shared_wasted']:.2f} doses left over at the close. "
        f"One vial for each of {beside['tables']} tables: {beside['own_vials_wasted']:.2f}. "
        "No clock ends a vial early in this comparison."
    )


def steps_of(
    found: Policy, slots: int, slot_min: int, standby: int
) -> list[dict[str, int | None]]:
    """Return from when on a vial is opened for how few people, at the best choice."""
    per_slot = [(found.opens_from(slot, standby), slot) for slot in range(slots)]
    runs = [list(run) for _, run in groupby(per_slot, key=lambda each: each[0])]
    return [{"after_min": run[0][1] * slot_min, "people": run[0][0]} for run in runs]


def _values(outlook: Outlook, slot_min: int) -> dict[str, Any]:
    return {
        "price_doses": outlook.cost,
        "doses_wasted": outlook.doses_wasted,
        "people_asked_back": outlook.people_asked_back,
        "wait_person_min": outlook.slots_held * slot_min,
        "vials_opened": outlook.vials_opened,
    }


def policy_text(
    found: Policy, steps: list[dict[str, int | None]], slot_min: int, person_price: float
) -> str:
    """Return the table of choices for people: from when on, for how few a vial is opened."""
    asked, best = found.open_when_asked, found.best
    says = f"Open when asked: {asked.doses_wasted:.2f} doses wasted, nobody asked back."
    if found.is_open_when_asked:
        return wrapped(
            f"{says} At {person_price:g} doses a person nothing beats it. A standby list, one "
            "shared draw table and bookings close together save doses; waiting does not."
        )
    waits = f", {best.slots_held * slot_min:.0f} person-minutes of waiting"
    told = wrapped(
        f"{says} At {person_price:g} doses a person, best: {best.doses_wasted:.2f} doses "
        f"wasted, {best.people_asked_back:.2f} people asked to come back"
        f"{waits if best.slots_held else ''}, on average over days like this one."
    )
    return "\n".join([told, *(_step(step) for step in steps)])


def _step(step: dict[str, int | None]) -> str:
    after = step["after_min"]
    since = f"from {spoken(timedelta(minutes=after))} on" if after else "at first"
    people = step["people"]
    if people is None:
        return f"  {since}: only full vials"
    return f"  {since}: open for {'anybody' if people == 1 else f'{people} or more'}"
