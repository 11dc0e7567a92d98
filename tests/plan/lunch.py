"""Turns at the chairs of a small made-up Tuesday, and days to be played by hand."""

from datetime import timedelta

from tests.cast import at
from tests.plan.clinic_days import minutes

from thawline.plan.clinic_day import Vials
from thawline.plan.quantile_tables import constant
from thawline.plan.replay import Comer, ReplayDay
from thawline.plan.service_times import Turn

MS = timedelta(milliseconds=1)


def turn(server, began, ended, here_since=None):
    """Return a turn by the wall clock; None: not stamped."""
    return Turn(
        f"chair {server}", at(began), ended and at(ended), here_since and at(here_since)
    )


def comer(ready, due=None, *, takes_dose=True, stays=15):
    """Return somebody ready at a minute (None: stayed away), booked for a minute or not."""
    return Comer(
        None if due is None else minutes(due),
        None if ready is None else minutes(ready),
        takes_dose,
        minutes(stays),
    )


def lunch(*ready, takes=10, chairs=(1,), draws=MS, **more):
    """Return a day on which people are ready at these minutes, and turns take so many."""
    vials = more.pop("vials", Vials(10, minutes(360), (minutes(0),) * 9))
    people = more.pop("people", tuple(comer(each) for each in ready))
    tables = more.pop("tables", (1,))
    settings = {
        "lateness": constant(minutes(1)), "thawed": (True,) * len(vials.ready or ()),
        "ahead": 3, "needle": minutes(0), "stayed_away": 0.0, **more,
    }  # fmt: skip
    return ReplayDay(
        people=people, chair=constant(minutes(takes)), chairs=chairs + chairs[-1:] * 120,
        drawing=constant(draws), tables=tables + tables[-1:] * 120, vials=vials, **settings,
    )  # fmt: skip
