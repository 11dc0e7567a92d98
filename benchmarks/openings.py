"""How fast the table of choices for opening vials is, warm: a whole day, and the last hour."""

from collections.abc import Callable
from statistics import median
from time import perf_counter

import numpy as np
from scipy.stats import binom

from thawline.plan.last_hours import LastHours
from thawline.plan.last_vial import solve
from thawline.plan.opening import OpeningDay, Prices, policy

RUNS = 50
DAY_S = 0.020
"""The figure to hold for the policy table of a day."""
_SLOTS, _BOOKED, _NO_SHOW = 60, 4, 0.08
_LAST_HOUR = (0, 0, 2, 0, 1, 0, 2, 0, 1, 0, 1, 0, 1, 0)


def day() -> OpeningDay:
    """Return ten hours in slots of ten minutes, 240 booked, vials of ten for six hours."""
    row = binom.pmf(np.arange(_BOOKED + 1), _BOOKED, 1 - _NO_SHOW)
    return OpeningDay(np.tile(row, (_SLOTS, 1)), 10, 36, hold_most=2)


def last_hour() -> LastHours:
    """Return the demo's last hour: eight booked, six doses in hand, eight names."""
    rows = np.zeros((len(_LAST_HOUR), 3))
    for slot, count in enumerate(_LAST_HOUR):
        rows[slot, : count + 1] = binom.pmf(np.arange(count + 1), count, 1 - _NO_SHOW)
    keeps = (6,) * (len(_LAST_HOUR) + 1)
    return LastHours(rows, keeps, 0, 2, 10, 3, (4,) * 8, 0.5)


def seconds(what: Callable[[], object]) -> float:
    """Return the median time of a call, the first one (it compiles) left out."""
    what()
    times = []
    for _ in range(RUNS):
        start = perf_counter()
        what()
        times.append(perf_counter() - start)
    return median(times)


def measured() -> tuple[float, float]:
    """Return the seconds for the table of a day and for that of the last hour."""
    prices = Prices(1, 3, 0.5)
    asked, last = day(), last_hour()
    return seconds(lambda: policy(asked, prices)), seconds(lambda: solve(last, prices))


if __name__ == "__main__":
    a_day, an_hour = measured()
    print(
        f"policy table of a day {a_day * 1000:.1f} ms, of a last hour {an_hour * 1000:.1f} ms"
    )
