"""Volumes and temperatures without floating point."""

from decimal import Decimal

import pytest

from thawline.base.errors import RecordError
from thawline.base.quantities import celsius, fahrenheit, microlitres, millicelsius


def test_a_volume_is_whole_microlitres():
    assert [microlitres(Decimal(ml)) for ml in ("0.5", "5.5", "0.035", "0")] == [
        500,
        5500,
        35,
        0,
    ]


@pytest.mark.parametrize("ml", ["0.0005", "NaN", "Infinity", "-Infinity"])
def test_a_volume_that_is_no_whole_number_of_microlitres_is_refused(ml):
    with pytest.raises(RecordError, match="whole number of microlitres") as error:
        microlitres(Decimal(ml))

    assert ml in str(error.value)


@pytest.mark.parametrize(
    ("in_c", "in_f"), [("-40", "-40"), ("0", "32"), ("100", "212"), ("2", "35.6")]
)
def test_degrees_convert_exactly_both_ways(in_c, in_f):
    """By the definition of the Fahrenheit degree: F = 1.8 C + 32."""
    assert fahrenheit(Decimal(in_c)) == Decimal(in_f)
    assert celsius(Decimal(in_f)) == Decimal(in_c)


@pytest.mark.parametrize(
    ("degrees_c", "thousandths"), [("5.2", 5200), ("-0.0004", -1), ("0.0009", 0)]
)
def test_temperatures_are_kept_in_thousandths_rounded_down(degrees_c, thousandths):
    assert millicelsius(Decimal(degrees_c)) == thousandths


@pytest.mark.parametrize("degrees_c", ["NaN", "Infinity"])
def test_what_is_no_temperature_is_refused(degrees_c):
    with pytest.raises(RecordError, match="not a temperature"):
        millicelsius(Decimal(degrees_c))
