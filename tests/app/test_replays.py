"""A day read from the ledger, ready to be played again; everything made up."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.app.replay_days import EXAMPLE, Stamped
from tests.cast import at, small

from thawline.app.replay_changes import compared
from thawline.app.replays import replay_of
from thawline.base.errors import NotFoundError
from thawline.ledger.events import (
    DoseWasted,
    VialDiscarded,
    VialHeld,
    VialMoved,
    VialPunctured,
    VialsArrived,
    VialSent,
)
from thawline.plan.replay import replayed
from thawline.plan.replay_change import more_people
from thawline.plan.service_times import Interval, ServiceTimes

TUESDAY = date(2026, 2, 3)
MINUTE = timedelta(minutes=1)
STAYS = (
    '[observation.usual]\nitem = "O1"\nstays = "PT15M"\nsource = "demo"\n'
    '[observation.longer]\nitem = "O2"\nstays = "PT30M"\nsource = "demo"\n'
)


def _of(told, day=TUESDAY, now="20:00"):
    told.day.now = max(told.day.now, at(now))
    return replay_of(told.site, day, EXAMPLE)


def _minutes(span):
    return None if span is None else span / MINUTE


def _one_person(**booked):
    told = Stamped(A="08:00", **booked)
    told.visit("A", "08:01", "08:02", "08:04")
    return told


def test_everybody_booked_or_seen_is_there_and_nobody_of_another_day():
    told = Stamped(A="08:00", B="08:10")
    told.book("X", "08:10", day=4)
    told.visit("A", "08:01", "08:02", "08:04")
    told.book("W", "08:20", recorded="08:20")
    told.ask("W", "08:21")
    told.give("W", "08:23")
    told.ask("N", "08:30")
    told.give("N", "08:32")
    record = _of(told).recorded

    assert (record.booked, record.came, record.walk_ups, record.doses) == (2, 1, 2, 3)


def test_a_place_written_down_that_morning_for_later_is_a_booking():
    """15 minutes ahead is a walk-up still; 16 is a booking."""
    told = _one_person()
    told.book("B", "09:15", recorded="09:00")
    told.book("C", "09:16", recorded="09:00")
    record = _of(told).recorded

    assert (record.booked, record.walk_ups) == (2, 1)


def test_somebody_referred_came_and_takes_no_chair():
    told = _one_person(R="08:00")
    told.send_away("R", "08:05", "screening")
    replay = _of(told)

    assert (replay.recorded.came, replay.recorded.stayed_away) == (2, 0)
    assert len(replay.played.people) == 1
    assert replay.played.stayed_away == 0


def test_who_is_booked_for_later_today_has_not_stayed_away():
    """Booked for 08:10; until 08:25 they may still come, and then they have stayed away."""
    before, after = (_of(_one_person(B="08:10"), now=clock) for clock in ("08:24", "08:25"))

    assert (before.to_come, before.recorded.booked, before.recorded.stayed_away) == (1, 1, 0)
    assert (after.to_come, after.recorded.booked, after.recorded.stayed_away) == (0, 2, 1)


def test_who_stayed_away_is_kept_for_another_no_show():
    replay = _of(_one_person(B="08:10"))

    assert replay.played.stayed_away == 0.5
    assert [_minutes(each.ready) for each in replay.played.people] == [2, None]


def test_the_day_begins_with_the_half_hour_of_its_first_draw_or_person():
    told = Stamped(A="08:00")
    (vial,) = told.on_table()
    told.open(vial, "06:58")
    told.draw(vial, [1], "06:59")
    told.visit("A", "08:01", "08:02", "08:04")
    replay = _of(told)

    assert (replay.begins, replay.opens, replay.closes) == (
        at("06:30"),
        at("08:02"),
        at("08:04"),
    )
    assert _minutes(replay.played.people[0].ready) == 92


def test_in_line_from_the_last_question_and_the_way_to_the_chair():
    """Nine need a minute, one waits ten: the way is a minute, nine of the ten are the wait."""
    people = {f"P{n}": "08:00" for n in range(9)}
    told = Stamped(**people, Q="08:40")
    for n in range(9):
        told.visit(f"P{n}", f"08:{5 * n:02}", f"08:{5 * n + 1:02}", f"08:{5 * n + 3:02}")
    told.visit("Q", "08:45", "08:55", "08:57")
    replay = _of(told)

    assert replay.recorded.way == MINUTE
    assert replay.recorded.waits[-1] == 9 * MINUTE
    assert _minutes(replay.played.people[-1].ready) == 46
    assert replay.guessed == 0


def test_where_the_screening_is_not_stamped_the_example_says_when():
    """Booked 08:00, ready 08:04 by the example; another was scanned before that, at 08:03."""
    told = Stamped(A="08:00", B="08:00")
    for person, clock in (("B", "08:03"), ("A", "08:10")):
        told.scan(person, clock)
        told.give(person, clock)
    told.give("C", "08:20")
    replay = _of(told)

    assert [_minutes(each.ready) for each in replay.played.people] == [4, 3, 20]
    assert (replay.guessed, replay.recorded.waits) == (3, ())


def test_asked_again_at_the_chair_does_not_put_anybody_back_in_line():
    told = Stamped(A="08:00")
    told.ask("A", "08:01")
    told.scan("A", "08:05")
    told.ask("A", "08:06")
    told.scan("A", "08:07", "chair 2")
    told.give("A", "08:08", "chair 2")
    record = _of(told).recorded

    assert record.waits == (2 * MINUTE,)
    assert record.way == 2 * MINUTE


def test_turns_come_from_doses_given_in_a_row_while_people_stood_there():
    """Thirty-one people asked at 08:00, a dose every three minutes: thirty turns of 180 s."""
    told = Stamped(**{f"P{n:02}": "08:00" for n in range(31)})
    for n in range(31):
        told.ask(f"P{n:02}", "08:00")
    for n in range(31):
        clock = f"{8 + (3 * n) // 60:02}:{3 * n % 60:02}"
        told.scan(f"P{n:02}", f"{clock}:10")
        told.give(f"P{n:02}", f"{clock}:50")
    replay = _of(told)

    assert (replay.times.turns, replay.times.mean_s.value) == (30, pytest.approx(180))
    assert replay.played.chair.moments()[0] == pytest.approx(180)
    assert replay.played.needle == timedelta(seconds=40)


def test_with_too_few_turns_the_example_is_taken():
    replay = _of(_one_person())

    assert replay.times is None
    assert replay.played.chair is EXAMPLE.chair


def _two_in_a_row(**second):
    told = Stamped(A="08:00", B="08:00")
    for person in "AB":
        told.ask(person, "08:00")
    told.scan("A", "08:02")
    told.give("A", "08:04")
    told.scan("B", "08:06")
    told.give("B", "08:08", **second)
    return _of(told).timed[-1].turns_s


def test_what_was_typed_in_later_tells_no_turn():
    """A dose recorded within the minute counts, one second later it does not."""
    assert _two_in_a_row() == _two_in_a_row(late="08:09") == (240,)
    assert _two_in_a_row(late="08:09:01") == ()


def test_a_dose_of_which_nobody_knows_when_tells_no_turn():
    assert _two_in_a_row(until="08:09") == ()


def test_a_dose_recorded_at_another_station_ends_no_turn_at_this_chair():
    assert _two_in_a_row(chair="office") == ()


def test_who_leaves_the_chair_without_a_dose_ends_a_turn_too():
    told = Stamped(A="08:00", B="08:00")
    for person in "AB":
        told.ask(person, "08:00")
    told.scan("A", "08:02")
    told.send_away("A", "08:04", "chair 1")
    told.scan("B", "08:06")
    told.give("B", "08:08")
    replay = _of(told)

    assert replay.timed[-1].turns_s == (240,)
    assert [each.takes_dose for each in replay.played.people] == [False, True]


def test_earlier_days_teach_and_later_days_do_not():
    told = _one_person()
    first = len(_of(told).timed)
    told.day.now = at("09:00", day=4)

    assert first == 1
    with pytest.raises(NotFoundError, match="no dose is on record on 2026-02-04"):
        _of(told, date(2026, 2, 4))


def test_the_lateness_of_who_stays_away_is_that_of_who_came():
    """Ready 2 and 30 minutes after the time booked."""
    told = _one_person(B="08:00")
    told.visit("B", "08:30", "08:31", "08:33")
    law = _of(told).played.lateness

    assert law.table.min() == pytest.approx(2 * 60)
    assert law.table.max() == pytest.approx(31 * 60)


def test_where_nobody_booked_came_the_example_says_how_late():
    told = Stamped()
    told.book("W", "08:20", recorded="08:20")
    told.give("W", "08:23")

    assert _of(told).played.lateness.table.max() == 4 * 60


def test_doses_that_lay_drawn_are_counted_and_what_was_wasted_is_gone():
    told = Stamped()
    (vial,) = told.on_table()
    told.open(vial, "07:58")
    told.draw(vial, range(1, 4), "07:59")
    told.stamp(
        DoseWasted(place=f"syringe:{vial}-03", lot="Z", doses=1, cause="spilled"), "08:00"
    )
    told.visit("A", "08:01", "08:02", "08:04")
    told.draw(vial, range(4, 6), "08:05")
    told.stamp(DoseWasted(place=f"vial:{vial}", lot="Z", doses=1, cause="spilled"), "08:06")
    replay = _of(told)

    assert (replay.played.ahead, replay.tables) == (3, 1)
    assert replay.played.drawing is EXAMPLE.drawing


def test_doses_drawn_at_the_chair_take_the_chairs_time_alone():
    replay = _of(_one_person())

    assert (replay.tables, set(replay.played.tables)) == (0, {1})
    assert replay.played.drawing.table.max() < 0.01
    assert replay.played.ahead == 1


def test_draws_that_are_fewer_than_the_doses_given_are_not_the_whole_record():
    told = Stamped(A="08:00", B="08:00")
    (vial,) = told.on_table()
    told.open(vial, "07:58")
    told.draw(vial, [1], "07:59")
    told.draw(vial, [2], "08:01")
    told.give("A", "08:02")
    told.give("B", "08:04")
    told.give("C", "08:06")

    assert _of(told).tables == 0
    assert _two_drawn() == 1


def _two_drawn():
    told = Stamped(A="08:00", B="08:00")
    (vial,) = told.on_table()
    told.open(vial, "07:58")
    told.draw(vial, [1, 2], "07:59")
    told.give("A", "08:02")
    told.give("B", "08:04")
    return _of(told).tables


def test_the_stay_is_that_of_the_protocol_or_of_the_stamp():
    told = Stamped(small(STAYS), A="08:00", B="08:10")
    told.visit("A", "08:01", "08:02", "08:04")
    told.leave("A", "08:21")
    told.give("B", "08:12", screening="give-30")
    told.give("C", "08:14")

    stays = [each.stays / MINUTE for each in _of(told).played.people]
    assert stays == [17, 30, 15]


def test_a_protocol_that_says_no_stay_leaves_the_area_empty():
    assert _of(_one_person()).recorded.most_observed == 0


def test_vials_could_be_opened_once_they_had_stood():
    """On the table at 08:05, standing 10 minutes; the day begins at 08:00."""
    told = _one_person()
    told.on_table("08:05", 2)
    played = _of(told).played

    assert [_minutes(each) for each in played.vials.ready] == [15, 15]


def test_a_vial_opened_before_it_had_stood_was_there_when_it_was_opened():
    """Opened at 08:08, on the table at 08:05; vials that stood longer, from then on."""
    told = _one_person()
    early, other = told.on_table("08:05", 2)
    told.stamp(VialPunctured(vial=early), "08:08")
    told.open(other, "08:30")
    replay = _of(told)

    assert [_minutes(each) for each in replay.played.vials.ready] == [8, 15]
    assert replay.vials_opened == 2


def test_a_vial_in_the_refrigerator_could_have_been_brought():
    """In the refrigerator from 07:00: thawed at 09:00, and 10 minutes on the table."""
    told = Stamped(A="08:00")
    told.day.thaw(1, "07:00")
    told.visit("A", "08:01", "08:02", "08:04")
    played = _of(told).played

    assert [_minutes(each) for each in played.vials.ready] == [70]
    assert played.thawed == (True,)


def test_where_more_was_given_than_the_vials_hold_there_is_always_one():
    """Nine doses and one vial of eight; eight doses and one vial are as they were."""
    told = Stamped(**{f"P{n}": "08:00" for n in range(9)})
    told.day.thaw(1, "05:00")
    for n in range(8):
        told.give(f"P{n}", f"08:0{n}")
    enough = _of(told, now="08:08").played
    told.give("P8", "08:09")

    assert len(enough.vials.ready) == 1
    assert _of(told).played.vials.ready is None


def test_a_vial_taken_out_after_the_first_person_was_not_thawed_at_the_start():
    """The first person is in line at 08:02: the way is two minutes at most, and one here."""
    thawed = []
    for clock in ("08:02", "08:02:01"):
        told = Stamped(A="08:00")
        told.ask("A", "08:01")
        told.day.thaw(1, clock)
        told.scan("A", "08:02")
        told.give("A", "08:04")
        thawed += _of(told).played.thawed

    assert thawed == [True, False]


def test_a_vial_that_came_thawed_was_out_of_the_freezer_when_it_came():
    """Arrived chilled at 07:00: by the rule thawed at 09:00 at the latest, then ten minutes."""
    told = Stamped(A="08:00")
    came = VialsArrived(vials=("HK47M",), lot="Z", expiry="2026-08", doses=8)
    told.stamp(came, "07:00")
    told.visit("A", "08:01", "08:02", "08:04")
    played = _of(told).played

    assert [_minutes(each) for each in played.vials.ready] == [70]
    assert played.thawed == (True,)


def test_vials_held_sent_discarded_or_of_another_day_are_not_there():
    told = Stamped()
    held, sent, gone, opened = told.on_table(count=4)
    told.stamp(VialHeld(vials=(held,), why="shaken"), "07:00")
    told.open(opened, "07:00")
    told.visit("A", "08:01", "08:02", "08:04")
    told.day.now = at("06:00", day=4)
    told.stamp(
        VialSent(vials=(sent,), lot="Z", doses=(8,), to_site="q", by_mode="cart"), "06:00"
    )
    told.stamp(VialDiscarded(vial=gone, lot="Z", doses=8, cause="held", why=""), "06:00")
    found = _of(told).played.vials.ready

    assert len(found) == 3


def test_a_vial_that_went_back_into_the_freezer_is_not_used():
    told = Stamped()
    (vial,) = told.day.thaw(1)
    told.visit("A", "08:01", "08:02", "08:04")
    told.stamp(VialMoved(vials=(vial,), to="freezer", lot="Z", expiry="2026-08"), "08:10")

    assert _of(told).played.vials.ready is None


def test_a_change_is_also_shown_at_both_ends_of_what_is_known_of_the_turns():
    told = Stamped(**{f"P{n:02}": "08:00" for n in range(31)})
    for n in range(31):
        told.ask(f"P{n:02}", "08:00")
    for n in range(31):
        clock = f"{8 + (3 * n) // 60:02}:{3 * n % 60:02}"
        told.scan(f"P{n:02}", f"{clock}:{10 + n % 7:02}")
        told.give(f"P{n:02}", f"{clock}:{30 + n % 9:02}")
    replay = _of(told)
    changed = more_people(replay.played, "chair", 1, (0 * MINUTE, None))

    def play(days):
        return [replayed(each, 1, (0, 5), 20 * MINUTE) for each in days]

    found = compared(replay, changed, "one more", play, play)
    waits = [wait.before for wait, _ in found.ends.values()]

    assert list(found.ends) == [replay.times.mean_s.low, replay.times.mean_s.high]
    assert waits[0] < found.found["mean_wait_s"].before < waits[1]
    assert found.found["mean_wait_s"].by.value < 0
    assert (
        compared(_of(_one_person()), _of(_one_person()).played, "none", play, play).ends == {}
    )


def _seated_at_once(count=30, draws=30):
    """Return a day on which everybody is in line at 08:02 and turns take two minutes."""
    told = Stamped(**{f"P{n:02}": "08:00" for n in range(count)})
    (vial, *_) = told.on_table(count=6)
    for n in range(count):
        told.ask(f"P{n:02}", "08:00")
    told.open(vial, "08:00")
    for n in range(draws):
        told.draw(vial, [n], f"08:00:{n:02}")
    for n in range(count):
        told.give(f"P{n:02}", f"{8 + (2 + 2 * n) // 60:02}:{(2 + 2 * n) % 60:02}")
    return _of(told)


def _five(days):
    return [replayed(each, 1, (0, 5), 20 * MINUTE) for each in days]


def test_from_how_long_a_dose_in_drawing_a_second_table_matters():
    """One chair, 150 s a person by the example (29 turns are too few), 30 doses ahead.

    One preparer keeps pace with the chair up to 150 s a dose, and no longer at 155.
    """
    replay = _seated_at_once()
    changed = more_people(replay.played, "draw table", 1, (0 * MINUTE, None))
    found = compared(replay, changed, "one more", _five, _five)

    assert replay.played.ahead == 30
    assert found.found["mean_wait_s"].by.value == 0
    assert found.tables_matter.drawing_s == 45
    assert found.tables_matter.from_s == 155


def test_tables_that_are_many_do_not_matter_at_all():
    replay = _seated_at_once()
    many = more_people(replay.played, "draw table", 30, (0 * MINUTE, None))
    more = more_people(many, "draw table", 1, (0 * MINUTE, None))
    base = replace(replay, played=many)

    assert compared(base, more, "one more", _five, _five).tables_matter.from_s is None
    assert compared(base, many, "none", _five, _five).tables_matter is None


def test_an_interval_down_to_nothing_has_no_short_turns_to_play():
    replay = _of(_one_person())
    wide = Interval(168.0, 0.0, 468.0)
    replay = replace(replay, times=ServiceTimes(50, 5, wide, wide, over_days=True))

    def play(days):
        return [replayed(day, 28, (0, 2), 20 * MINUTE) for day in days]

    found = compared(replay, replay.played, "nothing", play, play)

    assert list(found.ends) == [468.0]
