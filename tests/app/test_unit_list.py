"""Each unit now: what it says of itself, and what somebody must do about it."""

from dataclasses import replace
from datetime import time
from decimal import Decimal

from tests.app.cold_room import FREEZER, LOG, ColdRoom
from tests.cast import ROWAN, at, codes

from thawline.app.followed_readings import FollowedReadings
from thawline.app.hand_reading import Display, record_reading
from thawline.app.unit_list import unit_list
from thawline.store.nights import Hours
from thawline.store.units import Followed, StorageUnit


def listed(room, clock):
    return unit_list(room.site, room.seen, at(clock))


def test_a_unit_that_is_said_to_be_live_and_never_sent_is_not_followed():
    found = listed(ColdRoom(), "12:00")

    assert codes(found.units[0].findings) == ["not-followed"]
    assert found.units[0].last is None


def test_a_unit_whose_follower_stopped_is_pointed_out():
    room = ColdRoom()
    room.file(("02:00", -20))
    room.look("02:01", LOG)

    assert codes(listed(room, "02:30").units[0].findings) == []
    (found,) = listed(room, "02:31").units[0].findings
    assert "Is it still followed?" in found.says


def test_an_alert_that_is_over_stays_until_somebody_takes_it_on():
    room = ColdRoom()
    room.warm_night()
    room.file(("02:20", -16), ("02:25", -17))
    room.look("02:25", LOG)

    (found,) = listed(room, "02:40").units[0].findings

    assert "back inside at 02:25" in found.says
    assert "Nobody has taken it on" in found.says


def test_a_hand_reading_is_a_last_reading_too():
    room = ColdRoom(unit=replace(FREEZER, followed=Followed.BY_HAND))
    doing = room.day.doing("06:10", by=ROWAN)
    record_reading(room.site, doing, "freezer-1", Display(Decimal("-20.5")))

    last = listed(room, "07:00").units[0].last

    assert (last.at, last.temp_mc) == (at("06:10"), -20_500)


def test_readings_after_the_moment_are_not_the_last():
    room = ColdRoom()
    room.file(("02:00", -20), ("02:10", -19))
    room.look("02:11", LOG)

    assert listed(room, "02:05").units[0].last.at == at("02:00")


def test_a_unit_whose_band_has_no_alarm_says_that_nobody_would_be_called():
    room = ColdRoom()
    unit = StorageUnit("fridge-1", "refrigerator", Followed.BY_HAND)
    room.day.site = replace(room.site, units=(unit,))

    assert codes(listed(room, "12:00").units[0].findings) == ["no-alarm"]


def test_a_night_that_nobody_answered_for_is_not_covered():
    room = ColdRoom()
    room.day.site = replace(room.site, night=Hours(time(18), time(6)))

    found = listed(room, "17:00")

    assert found.covered is None
    assert "from 18:00 to 06:00 is NOT COVERED" in found.findings[0].says


def test_followed_readings_are_recorded_once_and_vouched_for_by_entries():
    room = ColdRoom()
    kept = FollowedReadings(room.site, ROWAN)
    room.file(("02:00", -20), ("02:05", -20))
    room.day.now = at("02:06")
    found = room.files[LOG].seen

    kept.add("freezer-1", found, "log.csv")
    kept.add("freezer-1", found, "log.csv")

    assert len(kept.of("freezer-1")) == 2
    assert [type(e.event).__name__ for e in room.day.entries()][-1] == "LoggerFileRead"
