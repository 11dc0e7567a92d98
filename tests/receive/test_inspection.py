"""The arrival check, with the small made-up protocol: frozen is minus 50 to minus 15 °C."""

from datetime import timedelta
from decimal import Decimal

import pytest
from tests.cast import MS, TRANSPORT, at, codes, small

from thawline.base.findings import Level
from thawline.receive.inspection import (
    Arrival,
    arrival_findings,
    carried_findings,
    label_findings,
)

RULES = small().protocol
ON_DRY_ICE = small('[handling.dry_ice]\nitem = "H2"\nmay = true\nsource = "demo"\n').protocol
CARRIED = small(TRANSPORT).protocol


def seen(rules=RULES, **differing):
    """Return what is found when one fact differs from an arrival in order."""
    fine = {"vials": 40, "listed_vials": 40, "temperature_c": Decimal("-21.5")}
    return list(arrival_findings(Arrival(**{**fine, **differing}), rules))


def test_an_arrival_in_order_has_no_findings():
    assert seen() == []


@pytest.mark.parametrize(
    ("degrees_c", "found"),
    [
        ("-15", []),
        ("-14.9", ["warm-on-arrival"]),
        ("-50", []),
        ("-50.1", ["warm-on-arrival"]),
        (None, ["temperature-not-read"]),
    ],
)
def test_frozen_vials_arrive_within_their_band(degrees_c, found):
    temperature_c = None if degrees_c is None else Decimal(degrees_c)

    assert codes(seen(temperature_c=temperature_c)) == found


def test_what_arrived_out_of_its_band_is_held_and_not_discarded():
    (stop,) = seen(temperature_c=Decimal("-9"))

    assert (stop.level, stop.item) == (Level.STOP, "S1")
    assert "held, do not use, do not discard, keep cold and apart, call" in stop.says
    assert "-9 °C on arrival, outside -50 to -15 °C" in stop.says


def test_soft_vials_go_to_the_refrigerator_and_never_back_to_the_freezer():
    (stop,) = seen(soft=True)

    assert (stop.level, stop.code) == (Level.STOP, "soft-on-arrival")
    assert "into the refrigerator, never back to the freezer" in stop.says


def test_dry_ice_is_a_stop_unless_the_protocol_allows_it():
    assert codes(seen(dry_ice=True)) == ["dry-ice"]
    assert seen(ON_DRY_ICE, dry_ice=True) == []


def test_damage_is_looked_at_vial_by_vial():
    (act,) = seen(damage="one corner wet")

    assert (act.level, act.says) == (Level.ACT, "damaged: one corner wet; look at every vial")


@pytest.mark.parametrize(
    ("listed", "found"), [(40, []), (41, ["list-differs"]), (None, ["no-packing-list"])]
)
def test_the_count_is_compared_with_the_packing_list(listed, found):
    assert codes(seen(listed_vials=listed)) == found


@pytest.mark.parametrize(
    ("mode", "minutes", "found"),
    [
        ("cart", 40, []),
        ("cart", 41, ["carried-too-long"]),
        ("helicopter", 1, ["mode-not-allowed"]),
        ("sledge", 1, ["mode-not-allowed"]),
        (None, 600, []),
        ("cart", None, []),
    ],
)
def test_how_thawed_vials_were_carried_here_is_checked_on_arrival(mode, minutes, found):
    assert codes(carried_findings(mode, minutes, CARRIED)) == found


def test_where_the_protocol_names_no_way_to_carry_thawed_vials_none_is_allowed():
    assert codes(carried_findings("cart", 1, RULES)) == ["mode-not-allowed"]


@pytest.mark.parametrize(
    ("late", "found"),
    [(-MS, []), (timedelta(0), ["expired"]), (MS, ["expired"])],
    ids=["the last moment of the last day", "midnight", "after"],
)
def test_a_label_is_over_when_its_last_day_is(late, found):
    ends = at("00:00")

    assert codes(label_findings("ZZ-1041", ends, ends + late)) == found
