"""How many chairs and tables were there when, from stamps; made up."""

from tests.cast import at
from tests.plan.clinic_days import minutes
from tests.plan.lunch import turn

from thawline.plan.at_work import at_work, away, tables_at_work
from thawline.plan.service_times import Line

LONGEST = minutes(20)


def _busy(server, clocks, here_since=None):
    return [turn(server, f"{clock}:00", f"{clock}:59", here_since) for clock in clocks]


def _away(server, turns):
    line = Line(turns)
    return list(away(line.by_server()[f"chair {server}"], line, LONGEST))


def test_a_chair_without_turns_while_people_wait_is_away():
    """Chair 2 has its lunch from 08:10 to 09:00; somebody waits from 08:20 to 08:30."""
    turns = [
        *_busy(2, ["08:00", "08:10", "09:00"]),
        *_busy(1, ["08:05", "08:30"], "08:20"),
    ]

    assert _away(2, turns) == [(at("08:10:59"), at("09:00"))]


def test_a_chair_that_is_idle_because_nobody_comes_is_there():
    turns = [*_busy(2, ["08:00", "08:10", "09:00"]), *_busy(1, ["08:05", "08:30", "09:05"])]

    assert _away(2, turns) == []


def test_two_minutes_in_line_are_not_long_enough():
    exactly = [*_busy(2, ["08:00", "08:10", "09:00"]), turn(1, "08:30", "08:31", "08:28")]
    longer = [*_busy(2, ["08:00", "08:10", "09:00"]), turn(1, "08:30:01", "08:31", "08:28")]

    assert _away(2, exactly) == []
    assert len(_away(2, longer)) == 1


def test_a_gap_no_longer_than_a_turn_is_none():
    """From 08:10:59 to 08:30:59 are 20 minutes."""
    turns = [
        *_busy(2, ["08:10"]),
        turn(2, "08:30:59", "08:32"),
        turn(1, "08:29", "08:30", "08:11"),
    ]

    assert _away(2, turns) == []


def test_a_chair_that_opens_late_was_away_and_so_is_one_that_closes_early():
    turns = [
        *_busy(1, ["08:00", "08:05", "09:50"], "07:55"),
        *_busy(2, ["09:00"]),
    ]

    assert _away(2, turns) == [(None, at("09:00")), (at("09:00:59"), None)]


def test_a_dose_that_was_not_stamped_counts_from_its_scan():
    turns = [
        turn(2, "08:00", None),
        turn(2, "09:00", "09:01"),
        turn(1, "08:30", "08:31", "08:20"),
    ]

    assert _away(2, turns) == [(at("08:00"), at("09:00"))]


def test_chairs_are_counted_by_the_minute():
    """Chair 2 is away from 08:03:30 to 08:40; half of a minute away still counts as there."""
    turns = [
        turn(2, "08:00", "08:03:30"), turn(2, "08:40", "08:41"),
        turn(1, "08:00", "08:04"), turn(1, "08:15", "08:16", "08:05"),
        turn(1, "08:30", "08:31"),
    ]  # fmt: skip
    found = at_work(Line(turns), LONGEST, at("08:00"), minutes(1), 60)

    assert found[:4] == (2, 2, 2, 2)
    assert set(found[4:40]) == {1}
    assert set(found[40:]) == {2}


def test_somebody_is_there_until_the_last_person_is_served():
    turns = [*_busy(1, ["08:00"]), turn(2, "08:30", "08:31", "08:10")]

    assert at_work(Line(turns[:1]), LONGEST, at("08:00"), minutes(1), 5)[-1] == 1
    assert at_work(Line([]), LONGEST, at("08:00"), minutes(1), 2) == (0, 1)


NOBODY = Line([])


def _tables(*draws, line=NOBODY, steps=7, begins="08:00"):
    return tables_at_work(
        [[at(clock) for clock in each] for each in draws], line, at(begins), minutes(1), steps
    )


def test_tables_are_there_from_their_first_draw_to_their_last():
    assert _tables(["08:04:50", "08:02:10"], ["08:03"]) == (0, 0, 1, 2, 1, 1, 1)


def test_the_table_that_drew_last_stays_and_the_others_end_by_the_minute():
    assert _tables(["07:00", "08:02"], ["08:01", "08:03"], steps=5) == (1, 2, 1, 1, 1)


def test_a_table_that_draws_nothing_for_long_while_people_wait_is_away():
    """Draws every five minutes, once none for half an hour; somebody waits from 08:12."""
    clocks = ["08:00", "08:05", "08:10", "08:40", "08:45"]
    line = Line([turn(1, "08:20", "08:21", "08:12")])
    found = _tables(clocks, line=line, steps=50)

    assert set(found[:10]) == set(found[40:]) == {1}
    assert set(found[10:40]) == {0}
    assert set(_tables(clocks, steps=50)) == {1}


def test_four_times_the_middle_gap_without_a_draw_is_no_pause():
    clocks = ["08:00", "08:05", "08:10", "08:30", "08:35"]
    line = Line([turn(1, "08:20", "08:21", "08:12")])

    assert set(_tables(clocks, line=line, steps=40)) == {1}


def test_somebody_draws_until_the_last_dose():
    """The last minute stands for all that is later; it lies in a pause of the only table."""
    clocks = ["08:00", "08:01", "08:02", "09:00"]
    line = Line([turn(1, "08:20", "08:21", "08:03")])

    assert _tables(clocks, line=line, steps=10)[2:] == (0,) * 7 + (1,)


def test_without_draw_tables_doses_are_drawn_at_the_chairs():
    assert _tables(steps=3) == (1, 1, 1)
