"""Answers to alerts, test calls for nights, and units that no alarm watches."""

from dataclasses import replace
from datetime import time

import pytest
from tests.app.cold_room import FREEZER, ColdRoom
from tests.cast import ROWAN, SORREL, a_day, at

from thawline.app.watching import alerts_of, answer, answer_test_call, watched
from thawline.base.errors import NotFoundError, RecordError, RuleError, UnsaidError
from thawline.base.instants import to_ms
from thawline.ledger.alert_events import AlertAnswered, TestCallAnswered
from thawline.store.nights import Hours


def answered(room, *, takes=True, why="on my way"):
    doing = room.day.doing("02:19", by=SORREL, why=why)
    return answer(room.site, doing, "freezer-1", takes=takes)


def test_an_answer_is_recorded_with_who_gave_it_and_what_they_said():
    room = ColdRoom()
    room.warm_night()

    assert answered(room).event == AlertAnswered(
        unit="freezer-1", answered_by=SORREL, says="on my way", takes=True
    )
    assert [told.is_owned for told in alerts_of(room.site, "freezer-1")] == [True]


def test_there_is_nothing_to_answer_where_no_alert_stands():
    with pytest.raises(NotFoundError, match="no alert of freezer-1"):
        answered(ColdRoom())


def test_an_answer_without_a_word_is_none():
    room = ColdRoom()
    room.warm_night()

    with pytest.raises(UnsaidError, match="what did they say"):
        answered(room, why="")


def test_a_unit_whose_band_has_no_alarm_is_not_followed_in_silence():
    day = a_day()

    with pytest.raises(RuleError, match="no alarm for the band 'frozen'"):
        watched(day.site, FREEZER, day.now, sends=True)


def test_of_a_logger_that_nobody_expects_to_send_silence_says_nothing():
    room = ColdRoom()

    assert watched(room.site, FREEZER, room.day.now, sends=False).figures.silent_ms is None


def called(room, until=None, who=ROWAN, *, dialler=False):
    doing = room.day.doing("17:30", by=SORREL)
    return answer_test_call(room.site, doing, who, until, dialler=dialler)


def test_a_test_call_covers_until_the_time_that_is_named():
    until = at("06:00", day=4)

    event = called(ColdRoom(), until, "dialler", dialler=True).event

    assert event == TestCallAnswered(answered_by="dialler", until_ms=to_ms(until), dialler=True)


def test_a_test_call_covers_until_the_night_is_over():
    room = ColdRoom()
    room.day.site = replace(room.site, night=Hours(time(18), time(6)))

    assert called(room).event.until_ms == to_ms(at("06:00", day=4))


def test_where_nobody_said_when_a_night_ends_it_is_asked_for():
    with pytest.raises(RecordError, match="nobody said when a night") as raised:
        called(ColdRoom())

    assert "--there-until" in raised.value.advice


@pytest.mark.parametrize("until", ["17:00", "17:30"])
def test_nobody_is_there_until_before_the_call(until):
    with pytest.raises(RecordError, match="before the call"):
        called(ColdRoom(), at(until))


def test_a_test_call_that_nobody_answered_is_none():
    with pytest.raises(UnsaidError, match="who answered"):
        called(ColdRoom(), at("23:00"), " ")
