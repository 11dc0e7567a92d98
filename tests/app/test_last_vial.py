"""What a site's record says about the hours that are left. Invented; vials of eight."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.app.chairs import MARSH, needle
from tests.cast import HAZEL, a_day, at

from thawline.app.acts import act
from thawline.app.doses import check
from thawline.app.last_vial import Ask, look, opening_now
from thawline.app.ports import Name
from thawline.app.standby import Told, add, answered
from thawline.app.vials import draw, move
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseGiven, PersonBooked
from thawline.person.standby import Answered
from thawline.plan.last_vial import Step
from thawline.plan.no_show import by_hand
from thawline.plan.opening import Prices

PRICES = Prices(1, 12, 0.2)
EVERYBODY = by_hand(0.0)
ANN = "DEMO-000901"


def record(day, event, when, kind=Kind.FACT):
    doing = replace(day.doing(), occurred=exactly(when), recorded_at=when)
    act(day.site, doing, {"command": "x"}, lambda _: Decision(event), kind=kind)


def book(day, clock, count=1, first=1, recorded="00:30"):
    for number in range(first, first + count):
        person = f"DEMO-{number:06d}"
        event = PersonBooked(person=person, slot_ms=to_ms(at(clock)), dose_number=1)
        record(day, event, at(recorded))


def ask(clock="08:00", **more):
    said = {"no_show": EVERYBODY, "walk_ups_an_hour": 0.0, **more}
    return Ask(at(clock), PRICES, **said)


def a_last_hour():
    """Return a vial open since 07:00, one chilled, and ten people booked until 08:50."""
    day = a_day()
    for number, clock in enumerate(("08:10", "08:20", "08:30", "08:40", "08:50")):
        book(day, clock, 2, first=1 + 2 * number)
    day.opened()
    day.thaw(clock="07:30")
    return day


def test_what_is_in_hand_is_what_the_open_vial_holds_and_what_is_drawn_from_it():
    day = a_last_hour()
    (vial,) = {each.vial for each in look(day.site, ask("07:45")).in_hand}
    draw(day.site, day.doing("07:50"), vial, 3)

    known = look(day.site, ask("09:00", close=at("10:00")))

    assert [batch.doses for batch in known.in_hand] == [5, 3]
    assert {batch.use_by for batch in known.in_hand} == {at("12:00")}


def test_a_vial_on_the_table_counts_as_in_hand_and_a_chilled_one_can_be_brought():
    day = a_last_hour()
    (chilled,) = look(day.site, ask("09:40", close=at("11:00"))).chilled
    move(day.site, day.doing("09:41"), [chilled], "table")

    known = look(day.site, ask("09:45", close=at("11:00")))

    assert (known.doses, known.chilled) == (16, ())


def test_one_waits_until_the_vial_would_just_be_ready():
    # Eight in hand, the ninth and tenth booked at 08:50; a vial stands 10 min: 08:40. A vial
    # that thaws from 05:30 on is chilled at 07:30.
    day = a_day()
    day.opened()
    day.thaw(clock="05:00")
    for number, clock in enumerate(("08:10", "08:20", "08:30", "08:40", "08:50")):
        book(day, clock, 2, first=1 + 2 * number)

    last = opening_now(day.site, ask("08:02")).last

    assert last.solved.best is Step.WAIT
    assert last.waits_until == at("08:40")
    assert last.short_days == 20


def test_without_a_chilled_vial_none_can_be_brought():
    day = a_day()
    day.opened()
    book(day, "08:30", 9)

    last = opening_now(day.site, ask()).last

    assert set(last.solved.first) == {Step.WAIT}


def test_hours_before_the_close_there_is_no_last_vial_yet():
    day = a_last_hour()

    assert opening_now(day.site, ask("06:00", close=at("09:00"))).last is None


def test_who_is_very_late_is_counted_as_staying_away_and_said():
    day = a_last_hour()

    known = look(day.site, ask("08:30"))

    assert (known.booked, known.given_up) == (8, 2)


def test_fifteen_minutes_late_is_too_late():
    day = a_last_hour()

    at_it = look(day.site, ask("08:25"))
    before = look(day.site, replace(ask(), now=at("08:25") - timedelta(seconds=1)))

    assert (at_it.given_up, before.given_up) == (2, 0)


def test_somebody_scanned_at_a_chair_counts_as_here_and_not_as_to_come():
    day = a_last_hour()
    (vial,) = {each.vial for each in look(day.site, ask("07:45")).in_hand}
    (code,) = draw(day.site, day.doing("07:50", by=HAZEL), vial, 1).event.syringes
    check(day.site, day.doing("08:05", station="chair 3"), needle(MARSH, code))

    known = look(day.site, ask("08:06"))

    assert (known.at_chairs, known.booked) == (1, 9)


def test_who_said_that_they_come_is_sure_to_come():
    day = a_last_hour()
    add(day.site, day.doing("07:50"), ANN, Told(10, name=Name("Ann Lee")))
    answered(day.site, day.doing("08:00"), ANN, Answered.COMES)

    known = look(day.site, ask("08:01"))

    (due,) = [each for each in known.due if each.called]
    assert (due.at, due.comes, known.booked) == (at("08:10"), 1.0, 10)


def test_no_shows_and_walk_ups_are_learned_from_the_day_itself():
    # Of four places booked before today one had no dose; two walk-ups in two hours, and a
    # walk-up is no booking that somebody could stay away from.
    day = a_day()
    book(day, "06:00", 4)
    book(day, "09:00", 1, first=9)
    for number in (1, 2, 3):
        event = DoseGiven(person=f"DEMO-{number:06d}", dose_number=1, lot="ZZ-1041")
        record(day, event, at("06:20"))
    for number, clock in ((20, "06:30"), (21, "07:30")):
        book(day, clock, first=number, recorded=clock)
        event = DoseGiven(person=f"DEMO-{number:06d}", dose_number=1, lot="ZZ-1041")
        record(day, event, at(clock))

    known = look(day.site, Ask(at("08:00"), PRICES))

    assert known.no_show.share("") == pytest.approx(1 / 4)
    assert known.walk_ups_an_hour == pytest.approx(1)


def test_nobody_is_told_that_all_stay_away():
    day = a_last_hour()

    with pytest.raises(RecordError, match="nobody would come, and whoever did"):
        look(day.site, ask(no_show=by_hand(1.0)))


def test_with_nothing_to_learn_from_a_share_is_asked_for():
    day = a_day()
    book(day, "09:00")

    with pytest.raises(RecordError) as error:
        look(day.site, Ask(at("08:00"), PRICES))

    assert error.value.advice == "add --no-show 0.08"


def test_a_day_without_bookings_or_over_is_refused():
    day = a_day()
    with pytest.raises(NotFoundError):
        look(day.site, ask())
    book(day, "09:00")

    with pytest.raises(RecordError, match="the day is over"):
        look(day.site, ask("09:10"))


def test_a_vial_that_is_past_before_the_close_is_not_counted_on_for_the_end():
    # Open since 07:00, 5 hours: not usable from 12:00 on, and the close is at 12:30.
    day = a_day()
    day.opened()
    book(day, "12:20", 1)

    last = opening_now(day.site, ask("11:30")).last

    assert (last.hours.in_hand, last.hours.keeps[-1]) == (8, 0)
