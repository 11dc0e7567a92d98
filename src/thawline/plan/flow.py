"""
A clinic day by chance, played exactly and many times: who waits where, and how long.

People come (booked or not), pass the stations in order, first come first served, and sit in the
observation area. A day is known by the seed and its number alone. The same day may be played
with other staff or stock: whoever came, how late, and how long each in line took stay the same.
See docs/background/clinic-day.md.
"""

import math
from datetime import timedelta

import numpy as np

from thawline.base.compiled import Counts, Values, blank_counts, passed, word
from thawline.base.errors import RecordError
from thawline.plan.clinic_day import ClinicDay, ClinicStation
from thawline.plan.flow_kernel import COLUMNS, FEW, plain_days
from thawline.plan.flow_outcome import Outcome
from thawline.plan.general_flow_kernel import (
    BY_TIME,
    ROWS,
    SPLIT_ROWS,
    STATES,
    general_days,
)
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.quantile_tables import exponential

SEEDS = 2**63  # a technical limit: seeds are whole numbers below it
_GAPS = exponential(timedelta(seconds=1))
_MARGIN = timedelta(hours=1)  # after the last slot; buckets for whoever comes late


def clinic_days(day: ClinicDay, seed: int, first: int, days: int) -> Outcome:
    """
    Return the figures of so many days, by the fastest way there is for such a day.

    Args:
        day: What is known before.
        seed: 0 or more; the same seed and the same number of a day give the same people.
        first: Number of the first day.
        days: How many.
    """
    if not day.is_plain:
        return followed_days(day, seed, (first, days), timedelta(0))
    base = seed_word(seed, first, days)
    figures = passed(np.zeros((days, COLUMNS + 2 * len(day.stations))))
    servers = [station.servers[0] for station in day.stations]
    people = day.most_people + max(servers)
    plain_days(
        base, first, days, *comers(day), passed(servers), *laws(day),
        *buckets(day), passed(np.zeros(people)), passed(np.zeros(people)),
        passed(np.zeros(FEW + 1)), figures,
    )  # fmt: skip
    return Outcome(_names(day), seed, first, np.array(figures, np.float64))


def followed_days(
    day: ClinicDay, seed: int, numbers: tuple[int, int], promise: timedelta
) -> Outcome:
    """
    Return the figures of so many days, and what happened in each half hour of each of them.

    Args:
        day: What is known before.
        seed: As for `clinic_days`, and with the same people.
        numbers: Number of the first day, and how many.
        promise: Waits that are longer are counted.
    """
    (first, days), halves = numbers, told_apart(day)
    base = seed_word(seed, first, days)
    servers = [s.servers + s.servers[-1:] * (halves - len(s.servers)) for s in day.stations]
    stations = len(day.stations)
    figures = passed(np.zeros((days, COLUMNS + 2 * stations)))
    by_time = passed(np.zeros((days, (stations + 1) * halves * BY_TIME)))
    peaks = passed(np.zeros((days, halves)))
    people = day.most_people + max(map(max, servers)) + STATES
    rows = SPLIT_ROWS if day.is_split else ROWS
    general_days(
        base, first, days, *comers(day), passed(servers), *laws(day),
        *buckets(day), passed([settings_of(s) for s in day.stations]), passed(_ready(day)),
        int(day.is_split), HALF_HOUR.total_seconds(), promise.total_seconds(),
        passed(np.zeros((rows, people))), figures, by_time, peaks,
    )  # fmt: skip
    shape = (days, stations + 1, halves, BY_TIME)
    return Outcome(
        _names(day), seed, first, np.array(figures, np.float64),
        np.array(by_time, np.float64).reshape(shape), np.array(peaks, np.float64),
    )  # fmt: skip


def seed_word(seed: int, first: int, days: int) -> int:
    """Return the seed as the kernels take it; raise where there can be no such days."""
    if not 0 <= seed < SEEDS:
        raise RecordError(f"a seed of {seed}", advice=f"a whole number from 0 to {SEEDS - 1}")
    if first < 0 or days < 1:
        raise RecordError(f"{days} days from day {first}", advice="1 or more, from 0 or later")
    return word(seed)


def _names(day: ClinicDay) -> tuple[str, ...]:
    return tuple(station.name for station in day.stations)


def comers(day: ClinicDay) -> tuple[Values, float, float, Values, Values, Values]:
    """Return what the kernel is told about who comes."""
    return (
        passed(day.bookings),
        day.slot.total_seconds(),
        day.no_show,
        passed(day.punctuality.table),
        passed(day.walk_ups),
        passed(_GAPS.table),
    )


def laws(day: ClinicDay) -> tuple[Values, Values, Values]:
    """Return what the kernel is told about how long everything takes."""
    upto = np.cumsum([stay.share for stay in day.stays])
    upto[-1] = 1.0  # no draw may lie above the last share for want of a bit
    return (
        passed([station.service.table for station in day.stations]),
        passed([stay.lasts.total_seconds() for stay in day.stays]),
        passed(upto),
    )


def buckets(day: ClinicDay) -> tuple[float, Counts]:
    """Return buckets a second, about one a person, and room for them."""
    many = max(day.most_people, 1)
    ends = day.slot * len(day.bookings) + _MARGIN
    return many / ends.total_seconds(), blank_counts(many + 1)


def told_apart(day: ClinicDay) -> int:
    """Return how many half hours are told apart; the last one holds all that is later."""
    open_for = math.ceil((day.slot * len(day.bookings) + _MARGIN) / HALF_HOUR)
    return max(open_for, *(len(station.servers) for station in day.stations))


def settings_of(station: ClinicStation) -> tuple[float, ...]:
    """Return what the kernel is told about groups and vials at a station."""
    vials = station.vials
    if vials is None:
        return (station.together, station.gather.total_seconds(), 0, 0, 0)
    planned = vials.ready is not None
    return (1, 0, vials.doses, vials.life.total_seconds(), planned)


def _ready(day: ClinicDay) -> list[float]:
    planned = [s.vials.ready for s in day.stations if s.vials and s.vials.ready]
    return [at.total_seconds() for at in planned[0]] if planned else []
