"""
Alarms of WHO's shipment devices, from the shipped protocol file.

World Health Organization, "Step-by-step interpretation of 10-day electronic temperature
monitoring devices", 2007-2009, and the specification WHO/PQS/E006/TR07 as quoted: type I sounds
at 45 °C for 1 h, 30 °C for 10 h in all, -0.5 °C for 1 h in one event; type II at 10 °C for 20 h
in all; 30.0 sounds and 29.9 does not. As the project's cold-chain check values give it,
2026-11-25; rows E1, E2 and E3.
"""

import numpy as np
from tests.store.records import every

from thawline.adapters import rule_files
from thawline.store.device_alarms import Alarmed, device_answers
from thawline.store.readings import readings
from thawline.store.tidy import tidied

RULES = rule_files.load("published-2022").protocol.device_alarms
HALF_HOUR = 30 * 60_000


def hours(*parts):
    """Return readings each half hour: so many hours at one temperature, then the next."""
    temps = np.concatenate([np.full(round(2 * length) + 1, mc) for mc, length in parts])
    return readings(np.arange(len(temps)) * HALF_HOUR, temps)


def alarmed(raw, name):
    (found,) = device_answers(tidied(raw), {name: RULES[name]})
    return found.alarmed


def test_e1_thirty_degrees_for_ten_hours_in_all_sound_type_1_and_29_9_do_not():
    warm = hours((30_000, 4), (5_000, 1), (30_000, 6))
    less = hours((29_900, 4), (5_000, 1), (29_900, 6))

    assert alarmed(warm, "shipment_1_warm") is Alarmed.SOUNDED
    assert alarmed(less, "shipment_1_warm") is Alarmed.SILENT


def test_e1_half_an_hour_less_is_silent():
    assert alarmed(hours((30_000, 9.5)), "shipment_1_warm") is Alarmed.SILENT


def test_e2_an_hour_at_half_a_degree_below_zero_sounds_only_in_one_event():
    one = hours((5_000, 1), (-500, 1), (5_000, 1))
    two = hours((5_000, 1), (-500, 0.5), (5_000, 1), (-500, 0.5), (5_000, 1))

    assert alarmed(one, "shipment_1_cold") is Alarmed.SOUNDED
    assert alarmed(two, "shipment_1_cold") is Alarmed.SILENT


def test_e3_twelve_and_eight_hours_at_ten_degrees_sound_type_2_at_twenty():
    both = hours((10_000, 12), (5_000, 2), (10_000, 8))
    less = hours((10_000, 12), (5_000, 2), (10_000, 7.5))

    assert alarmed(both, "shipment_2_mild") is Alarmed.SOUNDED
    assert alarmed(less, "shipment_2_mild") is Alarmed.SILENT


def test_an_hour_at_45_degrees_sounds_both_types():
    raw = every(30, "5.0 45.0 45.0 45.0 5.0")

    names = ("shipment_1_heat", "shipment_2_heat")
    assert [alarmed(raw, name) for name in names] == [Alarmed.SOUNDED] * 2
