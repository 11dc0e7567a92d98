"""A folder that a logger fills is followed: once each, said once, never woken by software."""

from pathlib import Path

from tests.app.cold_room import CHAIN, LOG, ColdRoom
from tests.cast import ROWAN, SORREL, at

from thawline.app.watching import answer
from thawline.base.findings import Level
from thawline.base.instants import to_ms
from thawline.ledger.alert_events import AlertCleared, AlertRaised

OTHER = Path("other.csv")


# --- readings -----------------------------------------------------------------------------


def test_readings_are_kept_and_said_with_the_last_of_them():
    room = ColdRoom()
    room.file(("02:00", -20), ("02:05", -19.5))

    assert room.look("02:06", LOG) == [
        "freezer-1: 2 new readings from log.csv, the last of 02:05 is minus 19.5 °C"
    ]
    assert len(room.seen.of("freezer-1")) == 2


def test_the_same_file_again_brings_nothing():
    room = ColdRoom()
    room.file(("02:00", -20))
    room.look("02:01", LOG)

    assert room.look("02:02", LOG) == []
    assert len(room.seen.of("freezer-1")) == 1


def test_a_grown_file_brings_what_was_added():
    room = ColdRoom()
    room.file(("02:00", -20))
    room.look("02:01", LOG)
    room.file(("02:00", -20), ("02:05", -20))

    assert "1 new reading from log.csv" in room.look("02:06", LOG)[0]


def test_an_overlapping_export_after_a_restart_doubles_nothing():
    room = ColdRoom()
    room.file(("02:00", -20), ("02:05", -20))
    room.look("02:06", LOG)
    room.follow()
    room.file(("02:05", -20), ("02:10", -20), path=OTHER)
    room.look("02:11", LOG, OTHER)

    assert len(room.seen.of("freezer-1")) == 3


def test_another_temperature_at_a_known_time_is_kept_too():
    room = ColdRoom()
    room.file(("02:00", -20))
    room.look("02:01", LOG)
    room.file(("02:00", -14))

    assert "1 new reading" in room.look("02:02", LOG)[0]


def test_a_file_that_cannot_be_read_is_said_once_with_its_reason():
    room = ColdRoom()
    room.broken("no column of temperatures")

    assert room.look("02:00", LOG) == [
        "log.csv cannot be read and is left alone: no column of temperatures"
    ]
    assert room.look("02:01", LOG) == []


def test_a_file_that_has_become_readable_is_read():
    room = ColdRoom()
    room.broken("no column of temperatures")
    room.look("02:00", LOG)
    room.file(("02:00", -20))

    assert "1 new reading" in room.look("02:01", LOG)[0]


def test_one_broken_file_does_not_keep_the_others_from_being_read():
    room = ColdRoom()
    room.broken("empty")
    room.file(("02:00", -20), path=OTHER)

    assert len(room.look("02:01", LOG, OTHER)) == 2


def test_an_unfinished_last_line_is_said_once():
    room = ColdRoom()
    room.file(("02:00", -20), unfinished=True)
    first = room.look("02:01", LOG)

    assert first[0] == "the last line of log.csv has no end yet and waits for the rest"
    assert room.look("02:02", LOG) == []


# --- alerts -------------------------------------------------------------------------------


def test_a_warming_freezer_is_an_alert_with_the_call_chain_below_it():
    _, line = ColdRoom().warm_night()

    assert line.finding.level is Level.ACT
    assert line.says.startswith("freezer-1 is minus 12.0 °C, limit minus 15 °C.")
    assert line.below == (
        "You call Sorrel K., vaccine coordinator, 555-0101",
        "Not answered by 02:24: you call Rowan T., site lead, 555-0102",
        "Not answered by 02:34: you call Bryony T., clinical lead, 555-0103",
    )


def test_an_alert_is_recorded_with_its_reading_and_its_limits():
    room = ColdRoom()
    room.warm_night()

    assert room.events(AlertRaised) == [
        AlertRaised(
            unit="freezer-1",
            cause="above",
            since_ms=to_ms(at("02:08")),
            level="act",
            item="A2",
            temp_mc=-12_000,
            low_mc=-50_000,
            high_mc=-15_000,
        )
    ]


def test_an_alert_that_goes_on_is_not_raised_again_nor_after_a_restart():
    room = ColdRoom()
    room.warm_night()
    room.follow()
    room.file(("02:14", -12), ("02:19", -11))
    room.look("02:19", LOG)

    assert len(room.events(AlertRaised)) == 1


def test_a_restart_says_again_what_stands_and_whom_to_call():
    room = ColdRoom()
    room.warm_night()
    room.follow()

    (line,) = room.follower.begin()

    assert "minus 12.0 °C" in line.says
    assert line.below[0] == "You call Sorrel K., vaccine coordinator, 555-0101"


def test_an_alert_ends_and_its_excursion_does_not():
    room = ColdRoom()
    room.warm_night()
    room.file(("02:20", -16), ("02:25", -17))

    said = room.look("02:25", LOG)[1]

    assert said.startswith("over: freezer-1 was minus 12.0 °C at 02:14")
    assert "held, do not use, do not discard" in said
    assert room.events(AlertCleared)[0].since_ms == to_ms(at("02:08"))


def test_a_silent_logger_is_said_without_any_file():
    room = ColdRoom()
    room.file(("02:00", -20))
    room.look("02:01", LOG)

    (line,) = room.lines("02:35")

    assert line.finding.level is Level.CHECK
    assert "the logger of freezer-1 has sent nothing for 35 min" in line.says


def test_a_logger_that_never_sends_is_silent_since_the_following_began():
    room = ColdRoom()
    room.follow(began=at("02:00"))

    assert room.lines("02:30") == []
    assert "nothing for 31 min" in room.lines("02:31")[0].says


def test_a_late_excursion_before_the_end_of_an_alert_is_said_and_calls_nobody():
    room = ColdRoom()
    room.warm_night()
    room.file(("02:20", -16), ("02:25", -17))
    room.look("02:25", LOG)
    room.file(("01:30", -10), path=OTHER)

    said = room.look("02:26", OTHER)

    assert "1 readings outside the band came late" in said[1]
    assert len(room.events(AlertRaised)) == 1


# --- calls --------------------------------------------------------------------------------


def test_who_is_due_next_is_said_when_they_are_due_and_once():
    room = ColdRoom()
    room.warm_night()

    assert room.look("02:23") == []
    assert room.look("02:24") == [
        "freezer-1: Not answered by 02:24: you call Rowan T., site lead, 555-0102"
    ]
    assert room.look("02:25") == []


def test_after_somebody_took_it_on_nobody_else_is_due():
    room = ColdRoom()
    room.warm_night()
    doing = room.day.doing("02:19", by=SORREL, why="on my way")
    answer(room.site, doing, "freezer-1", takes=True)

    assert room.look("02:24") == []


def test_who_cannot_go_makes_the_next_due_at_once():
    room = ColdRoom()
    room.warm_night()
    doing = room.day.doing("02:16", by=SORREL, why="no car")
    answer(room.site, doing, "freezer-1", takes=False)

    assert "you call Rowan T." in room.look("02:16")[0]


def test_after_the_alert_is_over_nobody_else_is_due():
    room = ColdRoom()
    room.warm_night()
    room.file(("02:18", -16), ("02:23", -17))
    room.look("02:23", LOG)

    assert room.look("02:24") == []


def test_a_file_fetched_in_the_morning_begins_the_calls_in_the_morning():
    room = ColdRoom()
    room.file(("02:00", -20), ("02:08", -14), ("02:14", -12), ("02:40", -11), ("03:00", -10))

    line = room.lines("03:05", LOG)[1]

    assert line.at == at("02:14")
    assert line.below[1].startswith("Not answered by 03:15: you call Rowan T.")


def test_a_site_without_a_chain_says_so_beside_the_alert():
    line = ColdRoom(calls=()).warm_night()[1]

    assert line.below == ("Nobody is in the call chain of this site: thawline site chain",)


def test_everybody_who_is_followed_by_is_named_in_the_entry():
    room = ColdRoom(calls=CHAIN)
    room.warm_night()

    assert room.day.entries()[-1].by == ROWAN
