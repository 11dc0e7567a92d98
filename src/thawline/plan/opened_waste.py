"""
Doses left in the last opened vial of a session, in closed form.

N people come, vials of n doses are opened only when somebody is there, and what is left in
the last one at the end is wasted: W = (-N) mod n. With G the probability generating function
of N and z running over the n-th roots of unity other than 1,

    E[W] = sum of (G(z) - 1) / (z - 1).

No clock ends a vial early here; docs/background/opened-vial-waste.md says when that matters.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from thawline.base.errors import RecordError

Roots = NDArray[np.complex128]

MOST_DOSES_PER_VIAL = 10_000  # a technical limit: the sum has one term for each dose
MOST_TABLES = 10_000  # likewise


@dataclass(frozen=True, slots=True)
class OpenedWaste:
    """
    What a session is expected to open and to waste.

    `waste_share` is wasted doses over all doses opened; None when nobody can come.
    """

    expected_wasted: float
    expected_vials: float
    waste_share: float | None


def waste_of_bookings(
    booked: int, no_show: float, doses_per_vial: int, tables: int = 1
) -> OpenedWaste:
    """
    Return the waste when each booked person stays away with the same chance, by themselves.

    With several tables the bookings are dealt out evenly and each table opens its own vials.

    Raises:
        RecordError: A count is below its least, or the share is not between 0 and 1.
    """
    _check_vial(doses_per_vial, tables)
    if booked < 0:
        raise RecordError(f"fewer than no bookings: {booked}", advice="count the bookings")
    if not 0 <= no_show <= 1:
        raise RecordError(
            f"not a share: {no_show}", advice="write a number from 0 to 1, as in 0.08"
        )
    each, one_more = divmod(booked, tables)
    comes = 1 - no_show

    def wasted(people: int) -> float:
        return _wasted(lambda step: (1 + comes * step) ** people - 1, doses_per_vial)

    in_all = one_more * wasted(each + 1) + (tables - one_more) * wasted(each)
    return _opened(in_all, booked * comes, doses_per_vial)


def waste_of_stream(expected: float, doses_per_vial: int, tables: int = 1) -> OpenedWaste:
    """
    Return the waste when people come at random, this many on average (Poisson).

    With several tables the people spread evenly over them.

    Raises:
        RecordError: A count is below its least, or the average is not a number of people.
    """
    _check_vial(doses_per_vial, tables)
    if not (math.isfinite(expected) and expected >= 0):
        raise RecordError(
            f"not a number of people: {expected}", advice="write 0 or more, as in 22.5"
        )
    each = expected / tables
    in_all = tables * _wasted(lambda step: np.expm1(each * step), doses_per_vial)
    return _opened(in_all, expected, doses_per_vial)


def _wasted(less_one: Callable[[Roots], Roots], doses_per_vial: int) -> float:
    """
    Return the mean of (-N) mod n.

    Args:
        less_one: G(1 + step) - 1, the generating function less one, of N.
        doses_per_vial: n.
    """
    turns = 2j * np.pi * np.arange(1, doses_per_vial) / doses_per_vial
    steps = np.expm1(turns)
    return max(0.0, float((less_one(steps) / steps).real.sum()))


def check_staffed(tables: int, preparers: int | None) -> None:
    """
    Look whether each table that opens vials has a preparer of its own; None: nobody said.

    Raises:
        RecordError: There are more tables than preparers.
    """
    if preparers is not None and not 1 <= tables <= preparers:
        raise RecordError(
            f"{tables} draw tables and preparers for {preparers}",
            advice=f"a table nobody draws at opens no vial: at most {max(preparers, 0)} tables",
        )


def _opened(wasted: float, expected_people: float, doses_per_vial: int) -> OpenedWaste:
    doses = expected_people + wasted
    share = wasted / doses if doses > 0 else None
    return OpenedWaste(wasted, doses / doses_per_vial, share)


def _check_vial(doses_per_vial: int, tables: int) -> None:
    if not 1 <= doses_per_vial <= MOST_DOSES_PER_VIAL:
        raise RecordError(
            f"doses per vial: {doses_per_vial}",
            advice=f"write a whole number from 1 to {MOST_DOSES_PER_VIAL}",
        )
    if not 1 <= tables <= MOST_TABLES:
        raise RecordError(
            f"tables: {tables}", advice=f"write a whole number from 1 to {MOST_TABLES}"
        )
