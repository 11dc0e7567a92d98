"""Which unit an act speaks of, and what a unit must keep."""

from dataclasses import replace
from decimal import Decimal

import pytest
from tests.app.arrivals import CAME, FOREIGN, LABEL
from tests.app.test_cold import UNITS, cold_day
from tests.cast import ROWAN, small

from thawline.app.receiving import receive_thawed
from thawline.app.units import band_of, into
from thawline.base.errors import RecordError, RuleError
from thawline.store.units import Followed, StorageUnit

SECOND = StorageUnit("fridge-2", "refrigerator", Followed.BY_HAND)


def test_thawed_vials_go_into_the_only_refrigerator_or_the_one_that_is_named():
    day = cold_day()
    day.site = replace(day.site, units=(*UNITS, SECOND))
    came = replace(CAME, unit="fridge-2", by_mode=None)

    outcome = receive_thawed(day.site, day.doing("03:00", by=ROWAN), LABEL, (FOREIGN,), came)

    assert outcome.event.unit == "fridge-2"
    assert into(cold_day().site, "fridge", "") == "fridge-1"
    with pytest.raises(RecordError, match="which refrigerator"):
        into(day.site, "fridge", "")


def test_a_unit_for_something_else_is_a_slip():
    with pytest.raises(RecordError, match="freezer-1 is a freezer, not a refrigerator"):
        into(cold_day().site, "fridge", "freezer-1")


def test_a_table_must_keep_from_the_refrigerators_low_end_to_the_rooms_high():
    protocol = small().protocol
    freezer, _, table = (band_of(unit, protocol) for unit in UNITS)

    assert (table.low_c, table.high_c) == (Decimal(2), Decimal(25))
    assert (freezer.low_c, freezer.high_c) == (Decimal(-50), Decimal(-15))


def test_a_band_that_the_protocol_does_not_have_cannot_be_kept():
    unit = StorageUnit("ultra-1", "ultra", Followed.BY_HAND)

    with pytest.raises(RuleError, match="ultra-1 is to keep the band 'ultra'"):
        band_of(unit, small().protocol)
