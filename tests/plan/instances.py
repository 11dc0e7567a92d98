"""Small made-up districts of people who wait for a second dose, and an independent optimum."""

from dataclasses import dataclass

import networkx
import numpy as np

from thawline.plan.places import Waiting
from thawline.plan.places_between import Region

FIRST = 739_000  # the ordinal of some day
NEVER = 10_000  # what it costs not to place somebody, far above any wait here


@dataclass
class Instance:
    """Who waits, where they belong, and the places there are."""

    waiting: Waiting
    home: np.ndarray
    may_move: np.ndarray
    region: Region


def instance(dice, *, sites=1, window=None):
    """Return an instance; `window` None: windows of any length."""
    people, days = int(dice.integers(1, 12)), int(dice.integers(2, 9))
    earliest = FIRST + dice.integers(-2, days, people)
    lengths = dice.integers(0, days, people) if window is None else np.full(people, window)
    moves = dice.integers(1, 5, (sites, sites)).astype(float)
    moves[dice.random((sites, sites)) < 0.3] = np.inf
    np.fill_diagonal(moves, 0)
    return Instance(
        Waiting(earliest, earliest + lengths),
        dice.integers(0, sites, people),
        dice.random(people) < 0.7,
        Region(FIRST, dice.integers(0, 4, (sites, days)), moves),
    )


def least_cost(made):
    """Return the least cost by network simplex, one node a person; and how many are placed."""
    graph, region = networkx.DiGraph(), made.region
    people = range(len(made.home))
    for who in people:
        graph.add_edge("all", ("person", who), capacity=1, weight=0)
        graph.add_edge(("person", who), "home again", capacity=1, weight=NEVER)
        home = made.home[who]
        for site, row in enumerate(region.capacity):
            move = region.moves[home, site]
            if not np.isfinite(move) or (site != home and not made.may_move[who]):
                continue
            for offset, places in enumerate(row):
                day = FIRST + offset
                if made.waiting.earliest[who] <= day <= made.waiting.latest[who] and places:
                    waited = int(day - made.waiting.earliest[who])
                    cell = ("cell", site, offset)
                    weight = int(waited + move)
                    graph.add_edge(("person", who), cell, capacity=1, weight=weight)
                    graph.add_edge(cell, "home again", capacity=int(places), weight=0)
    flow = networkx.max_flow_min_cost(graph, "all", "home again")
    cost = networkx.cost_of_flow(graph, flow)
    unplaced = sum(flow[("person", who)]["home again"] for who in people)
    return cost - NEVER * unplaced, len(made.home) - unplaced
