"""
A month's wastage below zero, against a worked example of a forum.

Example of multi-dose vials carried over in a WHO-network forum of vaccine managers: January
12 vials of 20 doses and 200 given, 17 %; February 9 vials of 20 and 195 given, minus 8 %;
together 25 of 420 doses, 6 %. As the check tables of 2026-11-25 give it. Row 40 of the
clinical check table. Tolerance: half a percent, the last printed digit. The ledger below
spreads the doses as it may have been: of 240 issued in January 200 were given in January and
at least 15 in February.
"""

from datetime import UTC, datetime

import pytest
from tests.account.ledger_entries import balances, entry

from thawline.account.wastage import Usage, waste_sheet
from thawline.base.instants import instant
from thawline.ledger import events as ev

LOT = "ZZ-1041"
HALF_A_PERCENT = 0.5


def _percent(usage: Usage) -> float:
    return float(usage.wastage_rate) * 100


@pytest.mark.parametrize(
    ("issued", "given", "percent"),
    [(240, 200, 17), (180, 195, -8), (420, 395, 6)],
    ids=["January", "February", "both"],
)
def test_each_months_rate_is_the_printed_one(issued, given, percent):
    assert _percent(Usage(issued, given)) == pytest.approx(percent, abs=HALF_A_PERCENT)


def _given(vial: int, doses: int, month: int) -> list:
    at = instant(datetime(2026, month, 10, 15, tzinfo=UTC))
    given = ev.DoseGiven(
        person="DEMO-000001",
        dose_number=1,
        lot=LOT,
        vial=f"V{vial}",
        doses_from=f"vial:V{vial}",
    )
    return [entry(given, at)] * doses


def test_a_ledger_of_the_two_months_gives_the_same_rates_and_says_so():
    arrived = ev.VialsArrived(
        vials=tuple(f"V{n}" for n in range(21)), lot=LOT, expiry="2026-08", doses=20
    )
    at_new_year = instant(datetime(2026, 1, 2, 15, tzinfo=UTC))
    january = [(n, 20) for n in range(8)] + [(n, 10) for n in range(8, 12)]
    february = [(8, 10), (9, 5)] + [(n, 20) for n in range(12, 21)]
    doses = [d for n, count in january for d in _given(n, count, 1)]
    doses += [d for n, count in february for d in _given(n, count, 2)]

    found = waste_sheet(
        balances([entry(arrived, at_new_year), *doses]), first="2026-02-01", last="2026-02-28"
    )

    assert found.usage == Usage(issued=180, given=195)
    assert _percent(found.cumulative) == pytest.approx(6, abs=HALF_A_PERCENT)
    assert "cumulative" in found.says
