"""
How long 100,000 second doses take: at one site, and between four sites with the building.

Held: 0.1 s and 1 s. Beside them, at equal cost: network simplex of networkx on the same kinds,
and the same programme with one node a person instead of one a kind, on fewer people, because
it grows with them. `python benchmarks/second_doses.py` on a quiet machine.
"""

import os
import sys
from collections.abc import Callable
from statistics import median
from time import perf_counter
from typing import Any

import networkx
import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array

from thawline.plan.places import Waiting, placed_at_site
from thawline.plan.places_between import Region, placed_between_sites

PEOPLE, FEW, ROUNDS, SEED = 100_000, 2_000, 7, 28
OWN_S, BETWEEN_S = 0.1, 1.0
FIRST, DAYS, WINDOW, SITES = 739_676, 40, 14, 4
NO_PLACE = 1_000_000


def main() -> int:
    """Measure, print the table, and return 1 if a figure is missed or a cost differs."""
    missed = _own() + _between(PEOPLE) + _beside(FEW)
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python {sys.version[:6]}")
    return int(missed > 0)


def _people(count: int) -> tuple[Waiting, np.ndarray, np.ndarray, Region]:
    """Return people whose day comes over twenty days, and places for somewhat more."""
    dice = np.random.default_rng(SEED)
    earliest = FIRST + dice.integers(0, DAYS // 2, count)
    home = dice.choice(SITES, count, p=[0.4, 0.3, 0.2, 0.1])
    places = np.full((SITES, DAYS), -(-count * 3 // (SITES * DAYS * 2)))
    places[:, 6::7] = 0  # Sundays
    moves = np.array([[0, 2, 3, 4], [2, 0, 2, 3], [3, 2, 0, 2], [4, 3, 2, 0]], dtype=float)
    may_move = dice.random(count) < 0.8
    return Waiting(earliest, earliest + WINDOW), home, may_move, Region(FIRST, places, moves)


def _own() -> int:
    waiting, _, _, region = _people(PEOPLE)
    capacity = region.capacity.sum(axis=0)
    took, found = _timed(lambda: placed_at_site(waiting, FIRST, capacity))
    early = int((found.day[found.has_place] < waiting.earliest[found.has_place]).sum())
    _line(f"{PEOPLE:,} at one site", took, f"to hold {OWN_S} s, early {early}")
    return int(took > OWN_S) + early


def _between(count: int) -> int:
    waiting, home, may_move, region = _people(count)
    took, found = _timed(lambda: placed_between_sites(waiting, home, may_move, region))
    placed = int(found.has_place.sum())
    _line(f"{count:,} between {SITES} sites, with building", took,
          f"to hold {BETWEEN_S} s, placed {placed:,}, cost {found.cost:,.0f}")  # fmt: skip
    return int(took > BETWEEN_S)


def _beside(count: int) -> int:
    """Compare with two other ways on fewer people; return how many costs differ."""
    made = _people(count)
    ours, found = _timed(lambda: placed_between_sites(*made))
    total = found.cost + NO_PLACE * int((~found.has_place).sum())
    _line(f"{count:,} between {SITES} sites", ours, f"cost {found.cost:,.0f}")
    differ = 0
    for name, way in (("network simplex", _simplex), ("one node a person", _by_person)):
        took, cost = _timed(lambda way=way: way(*made), rounds=1)
        differ += abs(cost - total) > 1e-6 * max(1.0, total)
        same = "equal cost" if abs(cost - total) <= 1e-6 * max(1.0, total) else f"cost {cost}"
        _line(f"{count:,} by {name}", took, f"{same}, {took / ours:,.1f} times as long")
    return differ


def _arcs(waiting: Waiting, home: Any, may_move: Any, region: Region) -> Any:
    """Yield person, site, day and cost of every place that a person may have."""
    for who in range(len(home)):
        for site in range(SITES):
            if site != home[who] and not may_move[who]:
                continue
            for day in range(DAYS):
                waited = FIRST + day - waiting.earliest[who]
                if 0 <= waited <= WINDOW and region.capacity[site, day]:
                    yield who, site, day, int(waited + region.moves[home[who], site])


def _simplex(waiting: Waiting, home: Any, may_move: Any, region: Region) -> float:
    graph = networkx.DiGraph()
    graph.add_node("out", demand=len(home))
    for who in range(len(home)):
        graph.add_node(who, demand=-1)
        graph.add_edge(who, "out", capacity=1, weight=NO_PLACE)
    for who, site, day, cost in _arcs(waiting, home, may_move, region):
        graph.add_edge(who, (site, day), capacity=1, weight=cost)
        graph.add_edge((site, day), "out", capacity=int(region.capacity[site, day]), weight=0)
    return float(networkx.network_simplex(graph)[0])


def _by_person(waiting: Waiting, home: Any, may_move: Any, region: Region) -> float:
    arcs = np.array(list(_arcs(waiting, home, may_move, region)))
    count, people = len(arcs), len(home)
    rows = np.concatenate([arcs[:, 0], np.arange(people)])
    everybody = coo_array((np.ones(count + people), (rows, np.arange(count + people))))
    places = coo_array(
        (np.ones(count), (arcs[:, 1] * DAYS + arcs[:, 2], np.arange(count))),
        shape=(SITES * DAYS, count + people),
    )
    found = linprog(
        np.concatenate([arcs[:, 3], np.full(people, float(NO_PLACE))]),
        A_ub=places.tocsr(),
        b_ub=region.capacity.reshape(-1),
        A_eq=everybody.tocsr(),
        b_eq=np.ones(people),
        method="highs",
    )
    return float(found.fun)


def _timed(ask: Callable[[], Any], rounds: int = ROUNDS) -> tuple[float, Any]:
    """Return the median time and the answer."""
    times, answer = [], None
    for _ in range(rounds):
        began = perf_counter()
        answer = ask()
        times.append(perf_counter() - began)
    return median(times), answer


def _line(what: str, took: float, beside: str) -> None:
    print(f"{what:<44}{took:9.4f} s  {beside}")


if __name__ == "__main__":
    sys.exit(main())
