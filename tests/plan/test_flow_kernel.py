"""One station, each way of working it through: by hand, and against a heap of servers."""

import heapq
from datetime import timedelta

import pytest
from tests.plan.draws import (
    by_comparing,
    by_person,
    by_search,
    seed_with,
    services,
    steps_of,
)

from thawline.plan.quantile_tables import exponential, lognormal

MINUTE = timedelta(minutes=1)
WAYS = pytest.mark.parametrize("way", [by_search, by_comparing, by_person])


@WAYS
def test_lindleys_waits_at_one_server_by_hand(way):
    """Methods table A3: arrivals 0, 1, 3, 4; services 2, 3, 1, 2; waits 0, 1, 2, 2."""
    law = steps_of([1, 2, 3])
    total, longest, left = way([0, 1, 3, 4], 1, law, seed_with(law, (2, 3, 1, 2)))

    assert (total, longest, left) == (5, 2, [2, 5, 6, 8])


@WAYS
def test_kiefer_and_wolfowitzs_waits_at_two_servers_by_hand(way):
    """Methods table A3: arrivals 0, 1, 2, 3; services 5, 2, 4, 1; waits 0, 0, 1, 2."""
    law = steps_of([1, 2, 4, 5])
    total, longest, left = way([0, 1, 2, 3], 2, law, seed_with(law, (5, 2, 4, 1)))

    assert (total, longest, left) == (3, 2, [3, 5, 6, 7])


def _with_a_heap(arrivals, servers, times):
    free, waits, left = [0.0] * servers, [], []
    for at, takes in zip(arrivals, times, strict=True):
        start = max(at, heapq.heappop(free))
        waits.append(start - at)
        left.append(start + takes)
        heapq.heappush(free, start + takes)
    return waits, sorted(left)


@WAYS
@pytest.mark.parametrize("servers", [1, 2, 7, 33])
@pytest.mark.parametrize(
    "law", [lognormal(MINUTE, 1.2), exponential(MINUTE)], ids=["lognormal", "exponential"]
)
def test_a_heap_of_servers_gives_the_same_bits(way, servers, law):
    arrivals = [58 * i / servers for i in range(400)]
    times = services(law, 400, 11, 0, 0)
    waits, left = _with_a_heap(arrivals, servers, times)

    total, longest, found = way(arrivals, servers, law, 11)

    assert found == left
    assert (total, longest) == (sum(waits), max(waits))
