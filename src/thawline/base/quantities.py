"""Volumes in whole microlitres and temperatures in two units; no floating point."""

from decimal import ROUND_FLOOR, Decimal
from typing import NewType

from thawline.base.errors import RecordError

Microlitres = NewType("Microlitres", int)
Millicelsius = NewType("Millicelsius", int)

_PER_ML = Decimal(1000)
COLDEST_C, WARMEST_C = Decimal(-100), Decimal(60)
"""No thermometer of a site shows less or more: what lies outside is a slip of the hand."""


def microlitres(volume_ml: Decimal) -> Microlitres:
    """
    Return a volume in whole microlitres.

    Raises:
        RecordError: The volume is not a whole number of microlitres, or not a number.
    """
    if not volume_ml.is_finite() or volume_ml * _PER_ML % 1 != 0:
        raise RecordError(
            f"volume is not a whole number of microlitres: {volume_ml} mL",
            advice="write it with at most three decimals",
        )
    return Microlitres(int(volume_ml * _PER_ML))


def fahrenheit(temperature_c: Decimal) -> Decimal:
    """Return the temperature in degrees Fahrenheit, exactly (F = 1.8 C + 32, by definition)."""
    return temperature_c * Decimal("1.8") + 32


def celsius(temperature_f: Decimal) -> Decimal:
    """Return the temperature in degrees Celsius, to the context's precision."""
    return (temperature_f - 32) / Decimal("1.8")


def exact_millicelsius(temperature_c: Decimal) -> Millicelsius:
    """
    Return a temperature that a person read, in whole thousandths of a degree Celsius.

    Raises:
        RecordError: It is not between minus 100 and 60 °C, or has more than three decimals,
            which would have to be rounded towards one of the limits.
    """
    if not temperature_c.is_finite() or not COLDEST_C <= temperature_c <= WARMEST_C:
        raise RecordError(
            f"not between minus 100 and 60 °C: {temperature_c}",
            advice="write degrees Celsius, as in 5.2",
        )
    if temperature_c * 1000 % 1 != 0:
        raise RecordError(
            f"more decimals than a thermometer shows: {temperature_c} °C",
            advice="write it as the display does, as in 5.2",
        )
    return Millicelsius(int(temperature_c * 1000))


def millicelsius(temperature_c: Decimal) -> Millicelsius:
    """Return the temperature in whole thousandths of a degree Celsius, rounded down."""
    if not temperature_c.is_finite():
        raise RecordError(
            f"not a temperature: {temperature_c}", advice="write degrees Celsius, as in 5.2"
        )
    return Millicelsius(int((temperature_c * 1000).to_integral_value(ROUND_FLOOR)))
