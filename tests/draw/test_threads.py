"""Open vials as threads; the columns were counted by hand on a scale of ten minutes."""

from thawline.base.instants import read_instant, zone_named
from thawline.draw.threads import Thread, threads

ZONE = zone_named("Etc/GMT+6")
NO_VIAL = ("no open vial",)


def _at(wall):
    return read_instant(f"2026-02-03T{wall}-06:00")


NOW = _at("13:37")
FOUR_LEFT = Thread("HK47M", 4, _at("10:02"), _at("16:02"))
ONE_LEFT = Thread("CM62T", 1, _at("10:55"), _at("16:55"))
HELD = Thread("RA93P", 7, _at("12:28"), _at("18:28"), held=True)


def test_the_district_at_13_37():
    picture = threads([FOUR_LEFT, ONE_LEFT, HELD], NOW, ZONE)

    assert picture == (
        "              10    11    12    13    14    15    16    17    18    19",
        "HK47M  4      .--------------------|==============|                    16:02",
        "CM62T  1           .---------------|-------------------|               16:55",
        "RA93P  7 HELD               .------|############################|      18:28",
        "                                   now 13:37",
    )


def test_more_time_left_is_a_longer_thread():
    shorter, longer = (
        line.count("=") for line in threads([FOUR_LEFT, _later()], NOW, ZONE)[1:3]
    )

    assert shorter < longer


def test_a_vial_at_its_use_by_is_past_and_has_nothing_left():
    row = threads([FOUR_LEFT], _at("16:02"), ZONE)[1]

    assert row.startswith("HK47M  4 PAST ")
    assert "=" not in row


def test_a_vial_a_minute_before_its_use_by_is_not_past():
    assert "PAST" not in threads([FOUR_LEFT], _at("16:01"), ZONE)[1]


def test_held_outranks_past():
    assert threads([HELD], _at("19:00"), ZONE)[1].startswith("RA93P  7 HELD ")


def test_a_vial_opened_this_very_minute_shows_now_where_it_begins():
    row = threads([Thread("TW28C", 10, NOW, _at("19:37"))], NOW, ZONE)[1]

    assert row[14:].lstrip().startswith("|=")


def test_no_open_vial_is_said():
    assert threads([], NOW, ZONE) == NO_VIAL


def _later():
    return Thread("TW28C", 10, _at("13:26"), _at("19:26"))
