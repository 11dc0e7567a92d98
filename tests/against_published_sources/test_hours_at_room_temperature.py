"""
Hours at 8 to 25 °C add up, in the first published form and with the later joint cap.

First form, 12 hours: Michigan Department of Health and Human Services, bulletin of 1 March
2021, and the label of that time; row B9 of the project's cold-chain check table. Later form, 24
hours in all with the time punctured counted in: manufacturer's provider page, undated copy of
about 2022; row B8. Read there on 2026-11-25. Tolerance: none.
"""

from datetime import datetime, timedelta

from thawline.adapters.rule_files import load
from thawline.base.instants import instant
from thawline.vial.reckon import reckon
from thawline.vial.story import read_story

MIDNIGHT = datetime.fromisoformat("2022-02-07T00:00:00-06:00")


def reckoned(edition, at_hour, *facts):
    """Return what an edition says of moves at so many hours after a Sunday's midnight."""
    events = [
        {"at": (MIDNIGHT + timedelta(hours=hour)).isoformat(), "what": what}
        for hour, what in facts
    ]
    told = {"lot": "ZZ-1041", "expiry": "2022-08", "zone": "America/Chicago", "events": events}
    at = instant(MIDNIGHT + timedelta(hours=at_hour))
    return at, reckon(read_story(told), load(edition).protocol, at)


def test_b9_stays_of_5_4_and_2_hours_leave_1_hour_of_12():
    at, found = reckoned(
        "published-2021-02",
        41,
        (0, "to-fridge"),
        *((4, "to-table"), (9, "to-fridge")),
        *((20, "to-table"), (24, "to-fridge")),
        (39, "to-table"),
    )

    assert (found.set_by, found.usable) == ("room", True)
    assert found.use_by - at == timedelta(hours=1)


def test_b9_back_in_the_refrigerator_the_hour_is_kept():
    at, found = reckoned(
        "published-2021-02",
        60,
        (0, "to-fridge"),
        *((4, "to-table"), (9, "to-fridge")),
        *((20, "to-table"), (24, "to-fridge")),
        *((39, "to-table"), (41, "to-fridge")),
    )

    (room,) = [clock for clock in found.clocks if clock.clock == "room"]
    assert (room.ends, room.left(at)) == (None, timedelta(hours=1))


def test_b8_after_14_hours_on_the_table_a_punctured_vial_has_10_hours_not_12():
    at, found = reckoned("published-2022", 18, (0, "to-fridge"), (4, "to-table"), (18, "open"))

    (cap,) = [clock for clock in found.clocks if clock.clock == "room_total"]
    assert cap.left(at) == timedelta(hours=10)
    assert (found.use_by - at, found.set_by) == (timedelta(hours=10), "room_total")


def test_b10_without_a_session_six_hours_after_opening_stand():
    """Opened 09:00: 15:00, and at six hours exactly it is past (section 4, conservative)."""
    facts = ((4, "to-fridge"), (8, "to-table"), (9, "open"))

    before = reckoned("published-2021-02", 15 - 1 / 3600, *facts)[1]
    at, found = reckoned("published-2021-02", 15, *facts)

    assert (found.use_by, found.set_by) == (at, "open")
    assert (before.usable, found.usable) == (True, False)
