"""
How many would be busy if nobody ever waited, through a day on which people come unevenly.

The place from which the search for staff starts: with so many, or a few more, hardly anybody
waits. The answer itself comes from exact formulas and from simulated days. See
docs/background/verification.md.
"""

import math
from collections.abc import Sequence
from datetime import timedelta

from scipy.optimize import brentq
from scipy.special import log_ndtr

from thawline.base.errors import RecordError

_MOST_SPARE = 8.0  # beyond it the chance of waiting is below 1e-14


def offered_loads(
    rates_per_s: Sequence[float], piece: timedelta, service: timedelta
) -> tuple[float, ...]:
    """
    Return how many would be busy at the end of each piece of the day, none at its beginning.

    Args:
        rates_per_s: People a second who come in each piece.
        piece: Its length.
        service: Mean time of a turn; exponential law.

    Raises:
        RecordError: A length is not above zero, or a rate is below zero.

    Source:
        Jennings, Mandelbaum, Massey and Whitt, "Server staffing to meet time-varying demand",
        Management Science 42(10), 1996 (abstract read): the mean of the infinite-server line.
    """
    if piece <= timedelta(0) or service <= timedelta(0):
        raise RecordError(
            f"pieces of {piece.total_seconds():g} s, turns of {service.total_seconds():g} s",
            advice="write more than 0",
        )
    kept = math.exp(-(piece / service))
    busy, loads = 0.0, []
    for rate in rates_per_s:
        if not 0 <= rate < math.inf:
            raise RecordError(f"{rate} people a second", advice="write 0 or more")
        steady = rate * service.total_seconds()
        busy = steady + (busy - steady) * kept
        loads.append(busy)
    return tuple(loads)


def spare_for(p_wait: float) -> float:
    """
    Return the spare servers, in roots of the load, with which so large a share has to wait.

    For a large station; always followed by an exact search, never the answer itself.

    Raises:
        RecordError: The share is not above 0 and below 1.

    Source:
        Halfin and Whitt, "Heavy-traffic limits for queues with many exponential servers",
        Operations Research 29(3), 1981 (from memory).
    """
    if not 0 < p_wait < 1:
        raise RecordError(f"a share of {p_wait} waiting", advice="above 0 and below 1")

    def beyond(spare: float) -> float:
        # spare * Phi(spare) / phi(spare), by logarithms
        ratio = math.exp(float(log_ndtr(spare)) + spare**2 / 2) * math.sqrt(2 * math.pi)
        return 1 / (1 + spare * ratio) - p_wait

    if beyond(_MOST_SPARE) > 0:
        return _MOST_SPARE
    return float(brentq(beyond, 0.0, _MOST_SPARE))
