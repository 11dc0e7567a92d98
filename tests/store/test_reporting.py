"""Local thresholds, with a made-up health department; none of them un-marks an excursion."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.store.records import FRIDGE, MINUTE, at, every, record

from thawline.base.durations import read_allowance
from thawline.rules.cold import Reporting, Side
from thawline.store.exposure import Question, Verdict, exposure
from thawline.store.limits import between
from thawline.store.readings import readings
from thawline.store.reporting import Asked, report_answers
from thawline.store.tidy import tidied

# Bands in the way of a department that asks for reports at 33 °F (0.56 °C) and below 36 °F.
BANDS = {
    "refrigerator": FRIDGE,
    "never-so-cold": between(Decimal("0.561"), Decimal(60)),
    "in-fahrenheit": between(Decimal("2.222"), Decimal("7.778")),
}


def rule(side, lasts, within=None, band="refrigerator"):
    return Reporting(
        item="R1",
        band=band,
        side=side,
        lasts=read_allowance(lasts),
        within=None if within is None else read_allowance(within),
        source="made up",
    )


def asked(raw, local):
    (found,) = report_answers(tidied(raw), {"one": local}, BANDS)
    return found


def test_an_hour_in_pieces_within_two_days_is_reported():
    raw = every(10, "5.0 9.0 9.0 9.0 5.0 5.0 9.0 9.0 5.0")

    found = asked(raw, rule(Side.ABOVE, "PT60M", "P2D"))

    assert (found.asked, found.lasted_ms) == (Asked.REPORT, 70 * MINUTE)
    assert found.reached_at_ms == at("01:10")


def test_pieces_farther_apart_than_the_rule_looks_do_not_add_up():
    raw = readings(
        [hour * 60 * MINUTE for hour in range(60)], [9_000, *[5_000] * 55, 9_000, *[5_000] * 3]
    )

    assert asked(raw, rule(Side.ABOVE, "PT3H", "P2D")).lasted_ms == 120 * MINUTE
    assert asked(raw, rule(Side.ABOVE, "PT3H", "P3D")).asked is Asked.REPORT


def test_below_the_threshold_the_excursion_stays_an_excursion():
    raw = every(10, "5.0 8.1 5.0 5.0")

    assert asked(raw, rule(Side.ABOVE, "PT60M", "P2D")).asked is Asked.NOTHING
    assert exposure(tidied(raw), Question(FRIDGE)).verdict is Verdict.EXCURSION


def test_a_single_reading_at_33_fahrenheit_is_reported_at_once():
    """The display of whole degrees shows 33 °F: 0.556 °C."""
    raw = readings([0, 10 * MINUTE, 20 * MINUTE], [2_778, 556, 2_778])
    local = rule(Side.BELOW, "PT0S", band="never-so-cold")

    assert asked(raw, local).asked is Asked.REPORT
    assert asked(every(10, "2.8 0.6 2.8"), local).asked is Asked.NOTHING


def test_below_36_fahrenheit_counts_in_one_go():
    local = rule(Side.BELOW, "PT60M", band="in-fahrenheit")
    split = every(10, "5.0 1.9 1.9 1.9 1.9 5.0 1.9 1.9 5.0")
    whole = every(10, "5.0 1.9 1.9 1.9 1.9 1.9 1.9 5.0")

    assert asked(split, local).asked is Asked.NOTHING
    assert asked(whole, local).asked is Asked.REPORT


def test_a_rule_for_both_sides_adds_them_up():
    raw = every(10, "9.0 5.0 5.0 1.0")

    assert asked(raw, rule(Side.OUTSIDE, "PT20M", "P1D")).asked is Asked.REPORT
    assert asked(raw, rule(Side.ABOVE, "PT20M", "P1D")).asked is Asked.NOTHING


def test_what_a_gap_may_hide_could_have_to_be_reported():
    raw = record("00:00 5.0, 00:10 5.0, 00:20 5.0, 02:00 5.0")

    assert asked(raw, rule(Side.ABOVE, "PT60M")).asked is Asked.NOT_KNOWN
    assert asked(raw, rule(Side.ABOVE, "PT3H")).asked is Asked.NOTHING


@pytest.mark.parametrize("within", [None, "P1D"])
def test_a_good_record_asks_for_nothing(within):
    assert asked(every(10, "5.0 5.0 5.0"), rule(Side.ABOVE, "PT0S", within)).asked is (
        Asked.NOTHING
    )


@given(
    st.lists(st.booleans(), min_size=2, max_size=40),
    st.integers(1, 60),
)
def test_the_most_within_a_window_is_what_counting_minutes_gives(out, within):
    raw = readings(
        [place * MINUTE for place in range(len(out))],
        [9_000 if each else 5_000 for each in out],
    )
    seen = [one or two for one, two in pairwise(out)]

    found = asked(raw, rule(Side.ABOVE, "PT1H", f"PT{within}M"))

    windows = [sum(seen[first : first + within]) for first in range(len(seen))]
    assert found.lasted_ms == max(windows, default=0) * MINUTE
