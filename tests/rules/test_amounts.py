"""Amounts that cannot be, whatever the product; all figures made up."""

import pytest
from tests.rules.made_up import PROTOCOL, changed

from thawline.rules.reading import examined


def _faults(*swaps):
    return [(fault.code, fault.key) for fault in examined(changed(*swaps)).faults]


@pytest.mark.parametrize(
    ("old", "new", "code", "key"),
    [
        ('allows = "PT5H"', 'allows = "PT0H"', "wrong-value", "clocks.open.allows"),
        ('allows = "P20D"', 'allows = "P0D"', "wrong-value", "clocks.chilled.allows"),
        ('takes = "PT3H"', 'takes = "PT0M"', "wrong-value", "thaw.refrigerator.takes"),
        (
            'repeat_after = "P21D"',
            'repeat_after = "P0D"',
            "wrong-value",
            "schedule.dose_2.repeat_after",
        ),
        ('allows = "PT10H"', 'allows = "P1D"', "ambiguous-duration", "clocks.room.allows"),
        ('allows = "PT12H"', 'allows = "P1D"', "ambiguous-duration", "caps.room_total.allows"),
        ('takes = "PT3H"', 'takes = "P1D"', "ambiguous-duration", "thaw.refrigerator.takes"),
        (
            'allows = "PT4H"',
            'allows = "P1D"',
            "ambiguous-duration",
            "transport.by.sledge.allows",
        ),
        (
            'earliest = "P21D"',
            'earliest = "PT504H"',
            "ambiguous-duration",
            "schedule.dose_2.earliest",
        ),
        ("value = 0.4,", "value = 0.4005,", "wrong-value", "product.dose_volume_ml.value"),
        ("value = 0.4,", "value = 0,", "wrong-value", "product.dose_volume_ml.value"),
        ("value = 0.4,", "value = -0.4,", "wrong-value", "product.dose_volume_ml.value"),
        ("value = 0.05,", "value = -0.05,", "wrong-value", "product.dead_space_ml.value"),
        (
            "value = 8, most = 9",
            "value = 0, most = 9",
            "wrong-value",
            "product.doses_per_vial.value",
        ),
        (
            "value = 8, most = 9",
            "value = 8, most = 7",
            "reversed",
            "product.doses_per_vial.value",
        ),
        ("\nmost = 2", "\nmost = -1", "wrong-value", "transport.trips.most"),
        ("shortest_in = 0.75", "shortest_in = 1.25", "reversed", "needles.0.shortest_in"),
        ("shortest_in = 0.75", "shortest_in = -0.75", "wrong-value", "needles.0.shortest_in"),
        ('late_after = "P35D"', 'late_after = "P20D"', "reversed", "schedule.dose_2.earliest"),
        (
            'grace_for_judging = "P3D"',
            'grace_for_judging = "P22D"',
            "reversed",
            "schedule.dose_2.grace_for_judging",
        ),
        ('repeat_after = "P21D"\n', "", "missing-item", "schedule.dose_2.repeat_after"),
    ],
)
def test_each_impossible_amount_has_its_code_and_key(old, new, code, key):
    assert _faults((old, new)) == [(code, key)]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('then_room = "PT20M"', 'then_room = "PT0M"'),
        ('grace_for_judging = "P3D"', 'grace_for_judging = "P0D"'),
        ("value = 0.05,", "value = 0,"),
        ("\nmost = 2", "\nmost = 0"),
        ("value = 8, most = 9", "value = 8, most = 8"),
        ("shortest_in = 0.75", "shortest_in = 1"),
        ('late_after = "P35D"', 'late_after = "P21D"'),
        ('allows = "PT5H"', 'allows = "P1D"'),
        ("low_c = -30", "low_c = -30.5"),
        ('repeat_when_too_early = true\nrepeat_after = "P21D"\n', ""),
    ],
    ids=[
        "no standing",
        "no grace",
        "no dead space",
        "no trip",
        "no extra dose",
        "one length",
        "late at once",
        "open for a day",
        "half a degree",
        "no repeating",
    ],
)
def test_the_last_possible_amount_is_none_of_them(old, new):
    assert _faults((old, new)) == []


ALARM = (
    '\n[alarms.warm]\nitem = "A1"\nband = "room"\ndelay = "PT0M"\n'
    'dead_band_c = 0\nsource = "tale"\n'
)
DESK = (
    '\n[stations.desk]\nitem = "W1"\ntitle.en = "Desk"\nroles = []\nleast_s = {}\nmost_s = {}\n'
    'source = "tale"\n'
)
STAY = '\n[observation.usual]\nitem = "O1"\nstays = "PT10M"\nsource = "tale"\n'


def test_an_alarm_may_come_without_delay():
    assert examined((PROTOCOL + ALARM).encode()).faults == ()


@pytest.mark.parametrize(
    ("least", "most", "keys"),
    [
        (0, 0, []),
        (45, 60, []),
        (-1, 60, ["stations.desk.least_s"]),
        (61, 60, ["stations.desk.least_s"]),
    ],
)
def test_a_station_takes_no_less_than_nothing_and_no_more_than_its_most(least, most, keys):
    raw = (PROTOCOL + DESK.format(least, most)).encode()

    assert [fault.key for fault in examined(raw).faults] == keys


@pytest.mark.parametrize(
    ("table", "key"),
    [
        (ALARM.replace("PT0M", "P1D"), "alarms.warm.delay"),
        (STAY.replace("PT10M", "P1D"), "observation.usual.stays"),
    ],
)
def test_a_delay_or_a_stay_is_no_matter_of_days(table, key):
    (fault,) = examined((PROTOCOL + table).encode()).faults

    assert (fault.code, fault.key) == ("ambiguous-duration", key)
