"""Hours with a decimal point: what they say and what they may have meant."""

from decimal import Decimal

import pytest

from thawline.rules.lengths import read_hours, reading_of


@pytest.mark.parametrize(
    ("text", "minutes", "or_minutes"),
    [
        ("2 h", 120, None),
        ("2.5 h", 150, None),
        ("2,5 h", 150, None),
        ("2.50 hours", 150, 170),
        ("1.75 h", 105, None),
        ("1.59 hrs", "95.4", 119),
        ("1.60 h", 96, None),
        ("2.5 horas", 150, None),
        ("  3hr ", 180, None),
    ],
)
def test_two_digits_below_sixty_may_be_minutes(text, minutes, or_minutes):
    read = read_hours(text)

    assert read is not None
    assert (read.minutes, read.or_minutes) == (Decimal(minutes), or_minutes)


@pytest.mark.parametrize("text", ["", "h", "2.5", "2:30", "PT2H", "two h", "2.5.1 h", "-2 h"])
def test_anything_else_is_no_hours(text):
    assert read_hours(text) is None
    assert reading_of(text) == ""


def test_both_readings_are_said():
    assert reading_of("3.15 h") == "3.15 h is 189 min; 3 h 15 min is 195 min"
    assert reading_of("3.5 h") == "3.5 h is 210 min"
