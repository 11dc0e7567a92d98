"""
The fewest people at each station in each half hour that keep a promise about waiting.

The promise is about everybody's waits at all stations together, by the half hour in which they
came: "9 in 10 wait under 20 min". The search starts from the load that is offered and Erlang's
formula, holds each staffing against the same simulated days, and takes people away by the half
hour, station after station, while the promise is kept. See docs/background/staffing.md.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import pairwise

import numpy as np

from thawline.base.errors import RecordError
from thawline.plan.clinic_day import ClinicDay, Line
from thawline.plan.flow_outcome import Outcome
from thawline.plan.general_flow_kernel import LATE, PEOPLE, WAITS
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.offered_load import offered_loads
from thawline.plan.waiting import erlang_c

MOST_EACH = 60  # a technical limit on the people at one station, so that the search ends
LEAST_DAYS = 20
"""On fewer days rare long waits are not seen, and a broken promise seems kept: plans found on 2
and on 5 days broke it on 4,000 others, those found on 20 did not; our own measurement."""
_SURE = 2.0  # standard errors that are kept clear of the promise
_FEW = 1.0  # a half hour in which fewer come on average is not looked at by itself

Play = Callable[[ClinicDay], Outcome]
"""Plays the same days for any staffing, with half hours followed."""


@dataclass(frozen=True, slots=True)
class Promise:
    """So large a share of people waits less than that, all stations together."""

    share: float
    within: timedelta

    def __post_init__(self) -> None:
        if not 0 < self.share < 1:
            raise RecordError(f"a promise to {self.share:g}", advice="above 0, below 1: 0.9")
        if self.within <= timedelta(0):
            raise RecordError(
                f"a wait of {self.within.total_seconds() / 60:g} min", advice="more than 0"
            )


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """
    What a staffing does.

    Args:
        day: The day with its people serving.
        late: For each half hour of coming the share that waits longer; nan where hardly
            anybody comes.
        error: The standard error of each share.
        outcome: The simulated days.
        keeps: Whether every half hour keeps the promise, two standard errors clear of it.
    """

    day: ClinicDay
    late: tuple[float, ...]
    error: tuple[float, ...]
    outcome: Outcome
    keeps: bool

    @property
    def half_hours_of_work(self) -> int:
        """Return the people serving, summed over stations and half hours."""
        return sum(sum(station.servers) for station in self.day.stations)


def offered(people: Sequence[float], service: timedelta) -> tuple[float, ...]:
    """
    Return the most people in service in each half hour if nobody ever waited.

    Args:
        people: Who come in each half hour, on average.
        service: Mean time of a turn.
    """
    rates = [many / HALF_HOUR.total_seconds() for many in people]
    ends = offered_loads(rates, HALF_HOUR, service)
    return tuple(max(pair) for pair in pairwise((0.0, *ends)))


def least_serving(load: float, service_s: float, promise: Promise) -> int:
    """Return the fewest who serve the promised share in time, by Erlang's formula."""
    servers = max(1, math.floor(load) + 1)
    while servers < MOST_EACH:
        waits = erlang_c(servers, load)
        late = waits * math.exp(-(servers - load) * promise.within.total_seconds() / service_s)
        if late <= 1 - promise.share:
            break
        servers += 1
    return servers


def started(day: ClinicDay, promise: Promise, halves: int) -> ClinicDay:
    """Return the day with the people that Erlang asks for at each station by itself."""
    passed_by_each = len(day.stations) - day.is_split
    each = Promise(promise.share, promise.within / passed_by_each)
    stations = []
    for station in day.stations:
        service_s = station.service.moments()[0] / station.together
        people = _people_by_half_hour(day, halves, station.line)
        loads = offered(people, timedelta(seconds=service_s))
        servers = tuple(least_serving(load, service_s, each) for load in loads)
        stations.append(replace(station, servers=servers))
    return replace(day, stations=tuple(stations))


def kept(day: ClinicDay, promise: Promise, play: Play) -> Kept:
    """Return whether a staffing keeps the promise in every half hour, and by how much."""
    outcome = play(day)
    assert outcome.by_time is not None  # noqa: S101  `play` follows half hours
    people, late = (outcome.by_time[:, -1, :, k] for k in (PEOPLE, LATE))
    came, broke = people.sum(axis=0), late.sum(axis=0)
    some = came >= _FEW * outcome.days
    share = np.where(some, broke / np.maximum(came, 1), np.nan)
    off = late - np.where(some, share, 0) * people  # the error of a ratio over days
    error = np.sqrt((off**2).sum(axis=0)) / np.maximum(came, 1)
    worst = np.where(some, share + _SURE * error, 0)
    return Kept(
        day=day,
        late=tuple(share.tolist()),
        error=tuple(error.tolist()),
        outcome=outcome,
        keeps=bool((worst <= 1 - promise.share).all()),
    )


def fewest(day: ClinicDay, promise: Promise, play: Play) -> Iterator[Kept]:
    """
    Yield staffings one better than the other; the last one is the answer.

    First people are added where most waiting is, until the promise is kept; then each is
    taken away for half an hour where it still is, and the best so far comes after each of
    these half hours. Where even `MOST_EACH` at every station do not keep it, the last one
    says `keeps=False`, and its `late` is the nearest there is.
    """
    halves = play(day).by_time.shape[2]  # type: ignore[union-attr]  # half hours are followed
    here = kept(started(day, promise, halves), promise, play)
    while not here.keeps:
        more = _one_more(here)
        if more is None:
            yield here
            return
        here = kept(more, promise, play)
    yield here
    for station in range(len(day.stations)):
        for half in range(halves):
            while (fewer := _one_less(here.day, station, half)) is not None:
                tried = kept(fewer, promise, play)
                if not tried.keeps:
                    break
                here = tried
            yield here


def _one_more(here: Kept) -> ClinicDay | None:
    """Return the day with one more where people of broken half hours wait longest."""
    assert here.outcome.by_time is not None  # noqa: S101  as above
    waits = here.outcome.by_time[:, :-1, :, WAITS].sum(axis=0)
    room = np.array([[many < MOST_EACH for many in s.servers] for s in here.day.stations])
    waits = np.where(room, waits, -1)
    station, half = np.unravel_index(int(waits.argmax()), waits.shape)
    if waits[station, half] <= 0:
        return None
    return _changed(here.day, int(station), int(half), 1)


def _one_less(day: ClinicDay, station: int, half: int) -> ClinicDay | None:
    """Return the day with one fewer; None where the last one would go."""
    if day.stations[station].servers[half] <= 1:
        return None
    return _changed(day, station, half, -1)


def _changed(day: ClinicDay, station: int, half: int, by: int) -> ClinicDay:
    servers = list(day.stations[station].servers)
    servers[half] += by
    stations = list(day.stations)
    stations[station] = replace(stations[station], servers=tuple(servers))
    return replace(day, stations=tuple(stations))


def _people_by_half_hour(day: ClinicDay, halves: int, line: Line) -> list[float]:
    """Return how many of a line are expected to come in each half hour."""
    people = [0.0] * halves
    walk_ups = day.walk_ups or (0.0,) * len(day.bookings)
    for slot, (booked, walking) in enumerate(zip(day.bookings, walk_ups, strict=True)):
        half = min(int(slot * day.slot / HALF_HOUR), halves - 1)
        people[half] += booked * (1 - day.no_show) * (line is not Line.WALK_UPS)
        people[half] += walking * (line is not Line.BOOKED)
    return people
