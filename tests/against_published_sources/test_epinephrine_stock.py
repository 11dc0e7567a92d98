"""
How much epinephrine must be at a site, as the list of supplies ships it.

CDC, page on preparing for anaphylaxis at vaccination sites, copies of 2021 and 2022, stock: "at
least 3 doses of epinephrine available at all times". Read on 2026-11-25.
"""

from thawline.adapters.supply_tables import uses
from thawline.plan.supplies import DayAhead, need_against_stock


def test_three_doses_of_epinephrine_whatever_the_size_of_the_day():
    days = [DayAhead(doses=n, vials=n, service=0.95) for n in (0, 10, 2400)]
    lines = [line for day in days for line in need_against_stock(uses(), (), day)]

    assert [line.need for line in lines if line.kind == "epinephrine"] == [3, 3, 3]
    assert {line.source for line in lines if line.kind == "epinephrine"} == {"published"}
