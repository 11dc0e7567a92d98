"""
Stays at steady temperatures, as somebody writes them down: "25 C 29 d, 40 C 1 d".

An exercise with numbers, not a record: it may go below freezing, and then it says so beside the
number, because the number hides it.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from thawline.base.errors import RecordError
from thawline.base.quantities import celsius
from thawline.store.kinetic import FROZE, mean_kinetic_c

_HOURS = {"d": Decimal(24), "h": Decimal(1), "min": 1 / Decimal(60)}
_STAY = re.compile(
    r"(?P<temp>[+-]?\d{1,3}(?:\.\d{1,3})?)\s*°?\s*(?P<unit>[CF])\s+"
    r"(?P<length>\d{1,6}(?:\.\d{1,3})?)\s*(?P<each>d|h|min)",
    re.ASCII,
)
# Readings and stays are taken from -100 to 60 °C, as everywhere.
_LOWEST_C, _HIGHEST_C = Decimal(-100), Decimal(60)


@dataclass(frozen=True, slots=True)
class Stay:
    """So many hours at one temperature."""

    temp_c: Decimal
    hours: Decimal


@dataclass(frozen=True, slots=True)
class StaysDescription:
    """
    What describes the stays together; never a verdict.

    Args:
        mkt_c: The mean kinetic temperature; None when nothing was above 0 °C.
        refused: Why there is none.
        mean_c: The mean by time.
        min_c: The coldest stay.
        max_c: The warmest.
        hours: In all.
        touched_freezing: A stay at or below 0 °C is in it, which the numbers hide.
    """

    mkt_c: float | None
    refused: str | None
    mean_c: float
    min_c: float
    max_c: float
    hours: float
    touched_freezing: bool


def read_stays(text: str) -> tuple[Stay, ...]:
    """
    Return the stays in a text such as "25 C 29 d, 40 C 1 d"; units d, h and min.

    Raises:
        RecordError: A part cannot be read, is no temperature, or nothing lasts.
    """
    stays = tuple(_stay(part.strip()) for part in text.split(","))
    if not sum(stay.hours for stay in stays):
        raise RecordError(f"stays without any length: {text!r}", advice="say how long each was")
    return stays


def described_stays(
    stays: tuple[Stay, ...], activation_energy_kj_per_mol: float
) -> StaysDescription:
    """Return what describes the stays; those of no length count for the coldest and warmest."""
    temps = np.array([float(stay.temp_c) for stay in stays])
    hours = np.array([float(stay.hours) for stay in stays])
    frozen = bool(temps.max() <= 0)
    mkt = None if frozen else mean_kinetic_c(temps, hours, activation_energy_kj_per_mol)
    return StaysDescription(
        mkt_c=mkt,
        refused=FROZE if frozen else None,
        mean_c=float(np.dot(temps, hours) / hours.sum()),
        min_c=float(temps.min()),
        max_c=float(temps.max()),
        hours=float(hours.sum()),
        touched_freezing=bool(temps.min() <= 0),
    )


def _stay(text: str) -> Stay:
    match = _STAY.fullmatch(text)
    if match is None:
        raise RecordError(
            f"not a stay: {text!r}", advice='write temperature and length, as in "25 C 29 d"'
        )
    temp = Decimal(match["temp"])
    temp_c = temp if match["unit"] == "C" else celsius(temp)
    if not _LOWEST_C <= temp_c <= _HIGHEST_C:
        raise RecordError(
            f"not a temperature here: {text!r}", advice="write one from -100 to 60 °C"
        )
    return Stay(temp_c, Decimal(match["length"]) * _HOURS[match["each"]])
