"""What a list on a screen needs of each slip: code, level, key, item, value, unit; made up."""

from datetime import timedelta
from decimal import Decimal

import pytest
from tests.rules.made_up import audited, changed, without

from thawline.base.durations import Allowance

FRIDGE = "low_c = 3\nhigh_c = 9\nlow_f = 37\nhigh_f = 48"
FROZEN = "low_c = -30\nhigh_c = -20\nlow_f = -22\nhigh_f = -4"
ROOM = "low_c = 9\nhigh_c = 21"
SAID = '"An open vial has {clocks.open.allows}."'
DOSE = "product.dose_volume_ml.value"
FIVE_HOURS = Allowance(0, timedelta(hours=5))


def _facts(raw):
    return [(s.code, s.level.value, s.key, s.item, s.value, s.unit) for s in audited(raw)]


@pytest.mark.parametrize(
    ("old", "new", "facts"),
    [
        (FRIDGE, FRIDGE.replace("37", "39"),
         ("unit-mismatch", "stop", "bands.refrigerator.low_f", "S2", Decimal(39), "F")),
        (FRIDGE, FRIDGE.replace("37", "3"),
         ("unit-slip", "stop", "bands.refrigerator.low_f", "S2", Decimal(3), "F")),
        (FRIDGE, FRIDGE.replace("37", "36"),
         ("legacy-rounding", "check", "bands.refrigerator.low_f", "S2", Decimal(36), "F")),
        (FRIDGE, "low_c = 37\nhigh_c = 9\nlow_f = 98.6\nhigh_f = 48",
         ("probably-fahrenheit", "stop", "bands.refrigerator.low_c", "S2", Decimal(37), "C")),
        (FRIDGE, "low_c = 9\nhigh_c = 3\nlow_f = 48\nhigh_f = 37",
         ("reversed", "stop", "bands.refrigerator.low_f", "S2", Decimal(48), "F")),
        (FROZEN, "low_c = -34.4\nhigh_c = -20\nlow_f = -30\nhigh_f = -4",
         ("unit-slip", "stop", "bands.frozen.low_f", "S1", Decimal(-30), "F")),
        (FROZEN, FROZEN.replace("-4", "4"),
         ("sign", "stop", "bands.frozen.high_f", "S1", Decimal(4), "F")),
        (FROZEN, FROZEN.replace("-30", "30"),
         ("sign", "stop", "bands.frozen.low_c", "S1", Decimal(30), "C")),
        ("value = 0.4,", "value = 0.55,",
         ("volume-sum", "stop", DOSE, "D2", Decimal("0.55"), "mL")),
        ("value = 0.4,", "value = 0.04,",
         ("volume-sum", "stop", DOSE, "D2", Decimal("0.04"), "mL")),
        ('fill_volume_ml = { item = "D3", value = 4, source = "tale" }\n', "",
         ("volume-sum", "check", DOSE, "D2", Decimal("0.4"), "mL")),
        ("most_kg = 50", "most_kg = 60",
         ("unit-mismatch", "stop", "needles.0.most_kg", "N1", Decimal(60), "kg")),
        ("most_kg = 50", "most_kg = 110",
         ("unit-slip", "stop", "needles.0.most_kg", "N1", Decimal(110), "kg")),
        (SAID, '"An open vial has 6 h."',
         ("text-differs", "stop", "lesson.0.says.en", None, None, None)),
        (SAID, '"An open vial has 5.30 h."',
         ("ambiguous-duration", "act", "lesson.0.says.en", None, None, None)),
        (ROOM, "low_c = 8.9\nhigh_c = 21",
         ("overlap", "act", "bands.room.low_c", "S3", Decimal("8.9"), "C")),
        (ROOM, "low_c = 9.1\nhigh_c = 21",
         ("gap", "act", "bands.refrigerator.high_c", "S2", Decimal(9), "C")),
        ('named_gap_above = "thawing"\n', "",
         ("gap", "check", "bands.frozen.high_c", "S1", Decimal(-20), "C")),
        ('allows = "PT12H"', 'allows = "PT5H"',
         ("differs-from-source", "check", "caps.room_total.allows", "C9", FIVE_HOURS,
          "ISO 8601")),
        ("most_lb = 110", "most_lb = 111",
         ("differs-from-source", "stop", "needles.0.most_lb", "N1", Decimal(111), "lb")),
        ("version = 2", 'version = 2\ncompared_with = "three"',
         ("differs-from-source", "stop", "protocol.compared_with", None, None, None)),
        ('allows = "PT5H"\nsource = "tale"', 'allows = "PT5H"\nsource = "hearsay"',
         ("missing-source", "stop", "clocks.open.source", "C4", "hearsay", None)),
        ('allows = "PT5H"', 'allows = "PT0H"',
         ("wrong-value", "stop", "clocks.open.allows", "C4", Allowance(0, timedelta(0)),
          "ISO 8601")),
        ("value = 0.4,", "value = 0,",
         ("wrong-value", "stop", DOSE, "D2", Decimal(0), "mL")),
    ],
)  # fmt: skip
def test_a_slip_says_where_it_stands_and_what_stands_there(old, new, facts):
    assert facts in _facts(changed((old, new)))


@pytest.mark.parametrize(
    ("raw", "facts"),
    [
        (without("[caps.room_total]"),
         ("missing-item", "stop", "caps.room_total.allows", None, None, "ISO 8601")),
        (changed(('allows = "PT4H"\n', "")),
         ("missing-item", "check", "transport.by.sledge.allows", "T6", None, "ISO 8601")),
    ],
    ids=["a cap", "a way of carrying"],
)  # fmt: skip
def test_what_is_missing_has_a_unit_and_no_value(raw, facts):
    assert facts in _facts(raw)


def test_a_published_clock_that_is_missing_stops_with_its_unit():
    raw = changed(
        ("[clocks.open]", "[clocks.opened]"),
        ('"open"]', '"opened"]'),
        ('"clocks.open"', '"clocks.opened"'),
        ("{clocks.open.", "{clocks.opened."),
    )

    assert _facts(raw) == [
        ("missing-item", "stop", "clocks.open.allows", None, None, "ISO 8601")
    ]
