"""
Waiting at one station, exactly: people come at random, each is served at random, first come.

Erlang's formulas for a station with so many people serving. What a real clinic does besides
(breaks, batches, a rush at nine) is left to the simulation; this is where it starts from.
See docs/background/waiting.md.
"""

import math
from dataclasses import dataclass

from thawline.base.errors import RecordError

MOST_SERVERS = 10_000  # a technical limit: the recursion takes one step a server
_HOUR_S = 3600


@dataclass(frozen=True, slots=True)
class Station:
    """People an hour, seconds that one of them takes on average, and how many serve."""

    per_hour: float
    service_s: float
    servers: int

    def __post_init__(self) -> None:
        for name, value in (("per hour", self.per_hour), ("service", self.service_s)):
            if not 0 < value < math.inf:
                raise RecordError(f"{name}: {value}", advice="write a number above 0")
        if not 1 <= self.servers <= MOST_SERVERS:
            raise RecordError(
                f"{self.servers} people serving",
                advice=f"1 to {MOST_SERVERS}; none serves nobody",
            )

    @property
    def load(self) -> float:
        """Return how many would be busy on average if nobody ever waited (Erlang)."""
        return self.per_hour * self.service_s / _HOUR_S


@dataclass(frozen=True, slots=True)
class Waiting:
    """
    What people meet at a station in the long run.

    Where more come than can be served the line grows for ever: everybody waits, nobody is
    served within any time, and the lengths are None.
    """

    p_wait: float
    mean_wait_s: float | None
    mean_in_system: float | None
    utilisation: float


def erlang_b(servers: int, load: float) -> float:
    """Return the chance that all are busy where nobody waits but goes away; the recursion."""
    blocked = 1.0
    for c in range(1, servers + 1):
        blocked = load * blocked / (c + load * blocked)
    return blocked


def erlang_c(servers: int, load: float) -> float:
    """Return the chance of having to wait; 1 where more come than can be served."""
    if load >= servers:
        return 1.0
    blocked = erlang_b(servers, load)
    return blocked / (1 - load / servers * (1 - blocked))


def waiting_at(station: Station) -> Waiting:
    """Return the waiting in the long run."""
    load, c = station.load, station.servers
    p_wait = erlang_c(c, load)
    if load >= c:
        return Waiting(1.0, None, None, load / c)
    mean_wait_s = p_wait * station.service_s / (c - load)
    in_line = mean_wait_s * station.per_hour / _HOUR_S
    return Waiting(p_wait, mean_wait_s, in_line + load, load / c)


def served_within(station: Station, within_s: float) -> float:
    """Return the share of people whose turn comes within so many seconds."""
    if within_s < 0:
        raise RecordError(f"within {within_s} s", advice="0 or more")
    spare = station.servers - station.load
    if spare <= 0:
        return 0.0
    p_wait = erlang_c(station.servers, station.load)
    return 1 - p_wait * math.exp(-spare * within_s / station.service_s)


def fewest_servers(station: Station, within_s: float, promise: float) -> int:
    """
    Return the fewest people serving that keep the promise, whatever the station has now.

    Args:
        station: Its people an hour and its service time.
        within_s: The wait that is promised, in seconds; 0: no wait at all.
        promise: The share of people for whom it is kept, above 0 and below 1.

    Raises:
        RecordError: The promise is no such share, or too many would be needed.
    """
    if not 0 < promise < 1:
        raise RecordError(
            f"a promise to a share of {promise}",
            advice="above 0 and below 1; none keeps it for all",
        )
    for servers in range(math.floor(station.load) + 1, MOST_SERVERS + 1):
        asked = Station(station.per_hour, station.service_s, servers)
        if served_within(asked, within_s) >= promise:
            return servers
    raise RecordError(
        f"more than {MOST_SERVERS} people would have to serve",
        advice="look at the figures again",
    )
