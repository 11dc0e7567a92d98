"""How an alert is worded: level, what is wrong, limit and times, what to do."""

import pytest
from tests.cast import CHICAGO, at
from tests.store.freezer import FIGURES, MINUTE

from thawline.base.findings import Level
from thawline.base.instants import to_ms
from thawline.store.alerts import Alert, Cause, degrees, finding

SINCE = to_ms(at("13:02"))


def said(cause, temp_mc, minutes=35, cleared=None):
    alert = Alert(
        cause, SINCE, SINCE + 5 * MINUTE, temp_mc, cleared and SINCE + cleared * MINUTE
    )
    return finding(alert, "fridge 2", FIGURES, SINCE + int(minutes * MINUTE), CHICAGO)


def test_a_warm_unit_is_named_with_its_limit_and_since_when():
    found = said(Cause.ABOVE, 8_600, minutes=5.5)

    assert (found.level, found.item, found.code) == (Level.ACT, "A1", "unit-above")
    assert found.says.startswith(
        "fridge 2 is 8.6 °C, limit 8 °C. Too warm since 13:02, for 5 min."
    )


@pytest.mark.parametrize("cause", [Cause.ABOVE, Cause.BELOW])
@pytest.mark.parametrize("cleared", [None, 30])
def test_an_excursion_always_says_held_do_not_use_do_not_discard_and_call(cause, cleared):
    says = said(cause, 1_500, cleared=cleared).says

    for words in ("held", "do not use", "do not discard", "cold and apart", "call"):
        assert words in says


def test_an_alert_that_is_over_says_from_when_to_when():
    says = said(Cause.BELOW, 1_500, cleared=30).says

    assert (
        "fridge 2 was 1.5 °C at 13:07, limit 2 °C. Too cold from 13:02, back inside at 13:32"
        in says
    )


def test_a_silent_logger_is_a_check_that_says_what_is_not_known():
    found = said(Cause.SILENT, 5_000)

    assert (found.level, found.item) == (Level.CHECK, "L1")
    assert found.says == (
        "the logger of fridge 2 has sent nothing for 35 min. Not known: its temperature "
        "since 13:02. Read the display and type it in"
    )


def test_a_silence_of_days_is_told_in_days_and_since_which_date():
    says = said(Cause.SILENT, 5_000, minutes=2 * 24 * 60 + 35).says

    assert "has sent nothing for 2 d 35 min" in says
    assert "since 2026-02-03 13:02" in says


def test_silence_after_a_reading_outside_is_worse_and_names_it():
    found = said(Cause.SILENT, 8_100)

    assert found.level is Level.ACT
    assert "The last reading, 8.1 °C, was out of its band" in found.says
    assert "do not discard" in found.says


def test_silence_without_any_reading_must_be_seen_to():
    assert said(Cause.SILENT, None).level is Level.ACT


@pytest.mark.parametrize(
    ("temp_mc", "shown"),
    [(8_600, "8.6 °C"), (-12_000, "minus 12.0 °C"), (8_001, "8.001 °C"), (0, "0.0 °C")],
)
def test_no_digit_of_a_temperature_is_rounded_off(temp_mc, shown):
    assert degrees(temp_mc) == shown
