"""
Carrying thawed vials by the Wisconsin bulletin: what it forbids is refused.

Wisconsin Department of Health Services, bulletin on transporting the 28-day product, March
2021: cart 1 h, vehicle 12 h, fixed-wing aircraft 3 h, no helicopter; once only, not back;
punctured vials not transported. Row T1 of the project's cold-chain check table, read on
2026-11-25. At the printed time itself a carry is still in order. Tolerance: none.
"""

import pytest

from thawline.adapters.rule_files import load
from thawline.base.instants import read_instant
from thawline.receive.inspection import carried_findings
from thawline.vial.reckon import reckon
from thawline.vial.story import read_story

RULES = load("published-2021-02").protocol
THAWED = [{"at": "2021-03-08T00:00:00-06:00", "what": "to-fridge"}]


def event(clock, what, **more):
    return {"at": f"2021-03-08T{clock}-06:00", "what": what, **more}


def carried(*events):
    told = {"lot": "ZZ-1041", "expiry": "2021-12", "zone": "America/Chicago"}
    story = read_story({**told, "events": [*THAWED, *events]})
    found = reckon(story, RULES, read_instant("2021-03-08T23:00:00-06:00"))
    return found.usable, sorted(each.code for each in found.findings)


@pytest.mark.parametrize(
    ("mode", "until", "codes"),
    [
        ("cart", "09:00:00", []),
        ("cart", "09:01:00", ["carried-too-long"]),
        ("plane", "11:00:00", []),
        ("plane", "11:01:00", ["carried-too-long"]),
        ("vehicle", "20:00:00", []),
        ("vehicle", "20:01:00", ["carried-too-long", "carried-too-long-in-all"]),
        ("helicopter", "08:10:00", ["mode-not-allowed"]),
    ],
)
def test_t1_each_way_of_carrying_has_its_printed_time(mode, until, codes):
    trip = [event("08:00:00", "transport-start"), event(until, "transport-end", by=mode)]

    assert carried(*trip) == (not codes, codes)


@pytest.mark.parametrize(
    ("mode", "minutes", "codes"),
    [
        *(("cart", 60, []), ("cart", 61, ["carried-too-long"])),
        *(("plane", 180, []), ("plane", 181, ["carried-too-long"])),
        *(("vehicle", 720, []), ("vehicle", 721, ["carried-too-long"])),
        ("helicopter", 5, ["mode-not-allowed"]),
    ],
)
def test_t1_the_same_holds_for_vials_that_arrive(mode, minutes, codes):
    assert [each.code for each in carried_findings(mode, minutes, RULES)] == codes


def test_t1_once_only_and_not_back():
    there = [
        event("08:00:00", "transport-start"),
        event("08:30:00", "transport-end", by="vehicle"),
    ]
    back = [
        event("10:00:00", "transport-start"),
        event("10:30:00", "transport-end", by="vehicle"),
    ]

    assert carried(*there, *back) == (False, ["one-trip-only"])


def test_t1_punctured_vials_are_not_transported():
    opened = [event("03:00:00", "to-table"), event("04:00:00", "open")]
    trip = [
        event("05:00:00", "transport-start"),
        event("05:10:00", "transport-end", by="vehicle"),
    ]

    usable, codes = carried(*opened, *trip)

    assert usable is False
    assert "punctured-not-carried" in codes
