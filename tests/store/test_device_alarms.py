"""What a shipment device would have said, by made-up rules, beside the excursion."""

from decimal import Decimal

import pytest
from tests.store.records import FRIDGE, MINUTE, at, every, record

from thawline.base.durations import read_allowance
from thawline.base.errors import RuleError
from thawline.rules.cold import DeviceAlarm, Reach, Side
from thawline.store.device_alarms import Alarmed, device_answers
from thawline.store.exposure import Question, Verdict, exposure
from thawline.store.tidy import tidied


def rule(at_c, lasts, **others):
    made_up = {"item": "A1", "device": "made-up device", "source": "made up"}
    given = {"side": Side.ABOVE, "reach": Reach.SINGLE, **made_up, **others}
    return DeviceAlarm(at_c=Decimal(at_c), lasts=read_allowance(lasts), **given)


def answer(raw, device):
    (found,) = device_answers(tidied(raw), {"one": device})
    return found


def test_it_sounds_at_the_reading_at_which_it_has_lasted_long_enough():
    found = answer(every(10, "5.0 9.0 9.0 9.0 9.0 5.0"), rule("9", "PT20M"))

    assert (found.alarmed, found.sounded_at_ms) == (Alarmed.SOUNDED, at("00:30"))
    assert found.lasted_ms == 30 * MINUTE


def test_a_silent_device_takes_nothing_from_an_excursion():
    raw = every(10, "5.0 9.0 9.0 5.0")

    found = answer(raw, rule("9", "PT10H"))

    assert (found.alarmed, found.sounded_at_ms) == (Alarmed.SILENT, None)
    assert exposure(tidied(raw), Question(FRIDGE)).verdict is Verdict.EXCURSION


def test_single_events_do_not_add_up_and_cumulative_ones_do():
    raw = every(10, "9.0 9.0 5.0 9.0 9.0")

    assert answer(raw, rule("9", "PT20M")).alarmed is Alarmed.SILENT
    assert answer(raw, rule("9", "PT20M", reach=Reach.CUMULATIVE)).alarmed is Alarmed.SOUNDED


def test_a_gap_could_have_made_it_sound_and_that_is_not_known():
    raw = record("00:00 5.0, 00:10 9.0, 00:20 9.0, 02:00 9.0, 02:10 5.0, 02:20 5.0")

    found = answer(raw, rule("9", "PT1H"))

    assert (found.alarmed, found.sounded_at_ms) == (Alarmed.NOT_KNOWN, None)
    assert (found.lasted_ms, found.at_most_ms) == (10 * MINUTE, 110 * MINUTE)


def test_a_reading_inside_ends_what_a_gap_could_have_joined():
    raw = record("00:00 9.0, 00:10 9.0, 01:00 5.0, 01:10 5.0, 02:00 9.0, 02:10 9.0, 02:20 9.0")

    assert answer(raw, rule("9", "PT80M")).at_most_ms == 70 * MINUTE


@pytest.mark.parametrize(
    ("counts", "alarmed"), [(True, Alarmed.SOUNDED), (False, Alarmed.SILENT)]
)
def test_the_temperature_and_the_time_count_as_the_rule_says(counts, alarmed):
    raw = every(10, "9.0 9.0 9.0")

    assert answer(raw, rule("9", "PT20M", at_c_counts=counts)).alarmed is alarmed
    assert answer(raw, rule("8", "PT20M", lasts_counts=counts)).alarmed is alarmed


def test_cold_devices_look_downwards():
    raw = every(30, "5.0 -0.5 -0.6 -0.5 5.0")

    assert answer(raw, rule("-0.5", "PT1H", side=Side.BELOW)).alarmed is Alarmed.SOUNDED
    assert answer(raw, rule("-0.6", "PT1H", side=Side.BELOW)).alarmed is Alarmed.SILENT


def test_a_rule_for_both_sides_is_refused():
    with pytest.raises(RuleError, match="one side"):
        answer(every(5, "5.0 5.0"), rule("9", "PT1H", side=Side.OUTSIDE))


def test_no_readings_sound_nothing():
    assert answer(every(5, ""), rule("9", "PT1H")).alarmed is Alarmed.SILENT
