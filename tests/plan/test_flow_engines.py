"""
The clinic day beside two independent engines, SimPy and Ciw, on networks of our own.

First the very same day in both, person by person: equal up to the rounding of sums. Then with
random numbers of NumPy's in the engine: means within four standard errors.
"""

import math
from dataclasses import replace

import ciw
import numpy as np
import pytest
from tests.plan.clinic_days import busy_day, minutes, seconds, special_day
from tests.plan.draws import came, services, state
from tests.plan.simpy_clinic import one_day

from thawline.base.compiled import word
from thawline.plan.arrivals_kernel import STAYING
from thawline.plan.clinic_day import ClinicStation, Vials
from thawline.plan.flow import clinic_days, followed_days
from thawline.plan.quantile_tables import lognormal
from thawline.plan.random_words import drawn, uniform

CLOSE = {"rel": 1e-9, "abs": 1e-6}


def _stays(many, seed, number):
    found, at = [], state(seed, number, int(STAYING))
    for _ in range(many):
        next_word, at = drawn(tuple(map(word, at)))
        found.append(900.0 if uniform(word(next_word)) < 0.95 else 1800.0)
    return found


def _same_day_in_simpy(clinic, seed, number):
    arrivals = came(clinic, seed, number)
    times = [
        services(station.service, len(arrivals), seed, number, k)
        for k, station in enumerate(clinic.stations)
    ]
    return arrivals, one_day(
        clinic.stations, arrivals, times, _stays(len(arrivals), seed, number)
    )


SHIFTS = busy_day(
    stations=(
        ClinicStation("desk", lognormal(seconds(60), 0.5), (2, 1, 1, 3, 2, 0, 0, 2, 2, 3)),
        ClinicStation("screening", lognormal(seconds(105), 0.6), (3, 4, 2, 3, 3, 3, 1, 4)),
        ClinicStation("vaccinating", lognormal(seconds(150), 0.5), (4, 4, 4, 4, 2, 2, 6)),
    )
)
NO_PLAN = busy_day(
    stations=(
        ClinicStation(
            "vaccinating", lognormal(seconds(150), 0.5), (5, 4), vials=Vials(6, minutes(9))
        ),
    )
)


@pytest.mark.parametrize("number", [0, 1, 2])
@pytest.mark.parametrize(
    "clinic",
    [busy_day(), SHIFTS, special_day(), NO_PLAN],
    ids=["tandem", "shifts and breaks", "groups and vials", "short-lived vials"],
)
def test_simpy_plays_the_same_day(clinic, number):
    arrivals, (waits, _, left, peak) = _same_day_in_simpy(clinic, 8, number)
    found = followed_days(clinic, 8, (number, 1), minutes(0))

    assert found.daily("people who came")[0] == len(arrivals)
    assert found.daily("people without a dose")[0] == len(arrivals) - len(left)
    for name, station in zip(found.stations, waits, strict=True):
        assert found.mean_wait_s(name)[0] == pytest.approx(np.mean(station), **CLOSE)
        assert found.longest_wait_s(name)[0] == pytest.approx(max(station), **CLOSE)
    stay = np.mean([left[person] - arrivals[person] for person in left])
    assert found.daily("stay in seconds")[0] == pytest.approx(stay, **CLOSE)
    assert found.daily("most under observation")[0] == peak
    assert found.daily("finish in seconds")[0] == pytest.approx(max(left.values()), **CLOSE)


@pytest.mark.parametrize("clinic", [special_day(), NO_PLAN], ids=["planned", "not planned"])
def test_simpy_opens_and_wastes_the_same_vials(clinic):
    _, (_, rooms, _, _) = _same_day_in_simpy(clinic, 8, 4)
    found = followed_days(clinic, 8, (4, 1), minutes(0))

    assert found.daily("vials opened")[0] == rooms[-1].opened
    assert found.daily("doses wasted")[0] == rooms[-1].wasted + max(rooms[-1].doses, 0)


def _same_day_in_ciw(clinic, seed, number):
    """Return waits at each station; Ciw relieves everybody at a change: 0 is between."""
    arrivals, ends = came(clinic, seed, number), len(clinic.stations)
    times = [
        services(station.service, len(arrivals), seed, number, k)
        for k, station in enumerate(clinic.stations)
    ]
    return _in_ciw(clinic.stations, arrivals, [ciw.dists.Sequential(t) for t in times], ends)


def _schedule(servers):
    if len(set(servers)) == 1:
        return servers[0]
    changes = [i for i in range(1, len(servers)) if servers[i] != servers[i - 1]]
    return ciw.Schedule(
        numbers_of_servers=[servers[i] for i in (0, *changes)],
        shift_end_dates=[*[1800.0 * i for i in changes], 1e9],
    )


def _in_ciw(stations, arrivals, laws, ends):
    gaps = np.diff([0.0, *arrivals]).tolist()
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Sequential([*gaps, math.inf]), *[None] * (ends - 1)],
        service_distributions=laws,
        number_of_servers=[_schedule(station.servers) for station in stations],
        routing=[[float(j == i + 1) for j in range(ends)] for i in range(ends)],
    )
    simulation = ciw.Simulation(network)
    simulation.simulate_until_max_customers(len(arrivals), method="Finish")
    records = simulation.get_all_records()
    return [[r.waiting_time for r in records if r.node == k + 1] for k in range(ends)]


BREAKS = busy_day(
    stations=(
        ClinicStation("desk", lognormal(seconds(60), 0.5), (2, 2, 2, 0, 3, 3, 3, 3, 0, 4)),
        ClinicStation("screening", lognormal(seconds(105), 0.6), (3, 3, 3, 3, 0, 4)),
        ClinicStation("vaccinating", lognormal(seconds(150), 0.5), (4,)),
    )
)


@pytest.mark.parametrize("clinic", [busy_day(), BREAKS], ids=["tandem", "breaks"])
def test_ciw_plays_the_same_day(clinic):
    waits = _same_day_in_ciw(clinic, 8, 1)
    found = followed_days(clinic, 8, (1, 1), minutes(0))

    for name, station in zip(found.stations, waits, strict=True):
        assert found.mean_wait_s(name)[0] == pytest.approx(np.mean(station), **CLOSE)
        assert found.longest_wait_s(name)[0] == pytest.approx(max(station), **CLOSE)


def _numpy_arrivals(clinic, dice):
    booked = np.repeat(np.arange(len(clinic.bookings)) * 600.0, clinic.bookings)
    shown = booked[dice.random(len(booked)) >= clinic.no_show]
    late = dice.normal(-300, 480, len(shown))
    slots = np.repeat(np.arange(len(clinic.walk_ups)), dice.poisson(clinic.walk_ups))
    others = (slots + dice.random(len(slots))) * 600
    return np.sort(np.concatenate([np.maximum(shown + late, 0), others])).tolist()


LAWS = {"desk": (60, 0.5), "screening": (105, 0.6), "vaccinating": (150, 0.5)}


def _numpy_times(name, many, dice):
    mean, variation = LAWS[name]
    square = math.log1p(variation**2)
    return dice.lognormal(math.log(mean) - square / 2, math.sqrt(square), many).tolist()


def _largest_z(ours, theirs):
    error = np.sqrt(ours.var(axis=0) / len(ours) + theirs.var(axis=0) / len(theirs))
    return np.abs((ours.mean(axis=0) - theirs.mean(axis=0)) / error).max()


def _ours(clinic, days, names):
    found = clinic_days(clinic, 21, 0, days)
    return np.array([[found.mean_wait_s(n), found.longest_wait_s(n)] for n in names]).reshape(
        -1, days
    ).T  # fmt: skip


def _simpy_day(clinic, dice):
    arrivals = _numpy_arrivals(clinic, dice)
    times = [_numpy_times(s.name, len(arrivals), dice) for s in clinic.stations]
    waits, *_ = one_day(clinic.stations, arrivals, times, [900.0] * len(arrivals))
    return [f(w) for w in waits for f in (np.mean, max)]


def _ciw_day(clinic, dice):
    arrivals = _numpy_arrivals(clinic, dice)
    times = [_numpy_times(s.name, len(arrivals), dice) for s in clinic.stations]
    laws = [ciw.dists.Sequential(t) for t in times]
    waits = _in_ciw(clinic.stations, arrivals, laws, len(clinic.stations))
    return [f(w) for w in waits for f in (np.mean, max)]


@pytest.mark.parametrize("clinic", [busy_day(), SHIFTS], ids=["tandem", "shifts and breaks"])
@pytest.mark.parametrize("days", [40, pytest.param(4000, marks=pytest.mark.slow)])
def test_simpy_with_numbers_of_its_own_has_the_same_means(clinic, days):
    dice = np.random.default_rng(31)
    theirs = np.array([_simpy_day(clinic, dice) for _ in range(days)])

    assert _largest_z(_ours(clinic, 4 * days, LAWS), theirs) < 4


@pytest.mark.parametrize("clinic", [busy_day(), BREAKS], ids=["tandem", "breaks"])
@pytest.mark.parametrize("days", [8, pytest.param(500, marks=pytest.mark.slow)])
def test_ciw_with_numbers_of_its_own_has_the_same_means(clinic, days):
    dice = np.random.default_rng(32)
    theirs = np.array([_ciw_day(clinic, dice) for _ in range(days)])

    assert _largest_z(_ours(clinic, 4000, LAWS), theirs) < 4


def test_the_comparison_notices_a_station_two_percent_slower():
    """Of the means of 4,000 days; or it would say nothing about agreement."""
    desk, *others = busy_day().stations
    slower = replace(desk, service=lognormal(seconds(61.2), 0.5))
    ours = _ours(busy_day(), 4000, LAWS)

    assert _largest_z(ours, _ours(busy_day(stations=(slower, *others)), 4000, LAWS)) > 4
