"""What the ledger keeps of alerts, answers and test calls."""

from tests.cast import ROWAN, SORREL, at
from tests.vial.entries import folded

from thawline.base.instants import to_ms
from thawline.ledger.alert_events import (
    AlertAnswered,
    AlertCleared,
    AlertRaised,
    TestCallAnswered,
)
from thawline.ledger.events import Noted
from thawline.store.alert_fold import ALERT, NIGHT, NIGHTS
from thawline.store.alerts import Alert, Cause
from thawline.store.calls import Answered
from thawline.store.nights import TestCall

UNIT = "freezer-1"


def raised(since=100, cause="above"):
    return AlertRaised(unit=UNIT, cause=cause, since_ms=since, level="act", temp_mc=-12_000)


def cleared(since=100, cause="above"):
    return AlertCleared(unit=UNIT, cause=cause, since_ms=since)


def answered(by=SORREL, *, takes=True):
    return AlertAnswered(unit=UNIT, answered_by=by, says="on my way", takes=takes)


def alerts(*events):
    """Return the alerts of freezer-1 after the events, one a minute from noon."""
    return folded(ALERT, *events)[UNIT].alerts


def minute(number):
    return to_ms(at(f"12:{number:02}"))


def test_an_alert_is_kept_as_it_was_raised():
    (told,) = alerts(raised())

    assert told.alert == Alert(Cause.ABOVE, 100, minute(0), -12_000)
    assert told.stands


def test_an_alert_raised_twice_is_there_once():
    assert len(alerts(raised(), raised())) == 1


def test_an_alert_that_is_over_still_waits_for_somebody_to_see_to_it():
    (told,) = alerts(raised(), cleared())

    assert told.cleared_ms == minute(1)
    assert told.stands


def test_an_answer_takes_on_all_alerts_that_stand():
    told = alerts(raised(), raised(200, "silent"), answered())

    assert [each.is_owned for each in told] == [True, True]
    assert told[0].answered == (Answered(SORREL, at("12:02")),)


def test_an_answer_of_somebody_who_cannot_go_takes_nothing_on():
    (told,) = alerts(raised(), answered(takes=False))

    assert not told.is_owned


def test_an_answer_does_not_take_on_what_comes_after_it():
    told = alerts(raised(), answered(), raised(200, "below"))

    assert [each.is_owned for each in told] == [True, False]


def test_of_alerts_that_were_seen_to_only_the_last_of_a_cause_is_kept():
    told = alerts(
        *(raised(1), answered(), cleared(1)),
        *(raised(2), answered(), cleared(2)),
        *(raised(3, "silent"), answered(), cleared(3, "silent")),
    )

    assert [each.since_ms for each in told] == [2, 3]


def test_a_test_call_is_kept_with_who_answered_and_until_when():
    event = TestCallAnswered(answered_by=ROWAN, until_ms=to_ms(at("06:00", day=4)))

    nights = folded(NIGHT, event)[NIGHTS]

    assert nights.test_calls == (TestCall(ROWAN, at("12:00"), at("06:00", day=4)),)


def test_other_events_concern_no_unit_and_no_night():
    assert folded(ALERT, Noted(says="x")) == folded(NIGHT, Noted(says="x")) == {}
