"""
Small days of every kernel, as bits: `python -m tests.plan.small_days` prints them all.

Run with Numba's compiler switched off it is plain Python, without it compiled code.
"""

import json
import sys
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from tests.plan.clinic_days import busy_day, minutes, seconds, special_day, split_day
from tests.plan.lunch import comer, lunch

from thawline.base.compiled import COMPILES
from thawline.plan.clinic_day import Vials
from thawline.plan.flow import clinic_days, followed_days
from thawline.plan.opening import OpeningDay, Prices, policy
from thawline.plan.quantile_tables import lognormal
from thawline.plan.replay import replayed
from thawline.plan.same_days import late_by_staffing


def flow():
    """Days of a clinic: plain ones, followed ones, split lines, many staffings."""
    a = clinic_days(busy_day(), 9, 0, 2)
    b = followed_days(special_day(), 9, (0, 1), minutes(20))
    c = followed_days(split_day(), 9, (0, 1), minutes(20))
    d = late_by_staffing(split_day(), [((2,),) * 4, ((3,),) * 4], 9, (0, 1), minutes(5))
    return (a.figures, b.figures, b.by_time, b.peaks, c.figures, c.by_time, d.came, d.late)


def opening():
    """One afternoon's policy."""
    day = OpeningDay(np.array([[0.3, 0.4, 0.3]] * 6), 4, 3, 2, 2, 0.6)
    found = policy(day, Prices(1, 2, 0.1))
    return (np.array([found.best.cost, found.best.slots_held]), found.choices)


def replay():
    """A day of the record with chairs that close, vials that run out and some who stay away."""
    people = [comer(n / 2, due=n / 2) for n in range(100)]
    people += [comer(None, due=n) for n in range(20)] + [comer(9, takes_dose=False)]
    vials = Vials(10, minutes(30), tuple(minutes(6 * n) for n in range(9)))
    day = lunch(
        people=tuple(people), vials=vials, stayed_away=20 / 120, no_show=0.1,
        chairs=(3, 3, 3, 1, 0, 4), tables=(2, 1), needle=seconds(40),
    )  # fmt: skip
    day = replace(day, chair=lognormal(seconds(85), 0.4))
    day = replace(day, drawing=lognormal(seconds(50), 0.4))
    found = replayed(day, 9, (0, 3), minutes(5))
    return (found.figures, found.by_time)


DAYS: dict[str, Callable] = {"flow": flow, "opening": opening, "replay": replay}


def bits(what):
    """Return every figure of one of them, bit for bit."""
    return [each.tobytes().hex() for each in DAYS[what]()]


if __name__ == "__main__":
    told = {"compiles": COMPILES} | {what: bits(what) for what in DAYS}
    sys.stdout.write(json.dumps(told))
