"""What the stamps of a day tell: who came, waits, half hours, the observation area; made up."""

from datetime import timedelta

from tests.cast import at
from tests.plan.clinic_days import minutes, seconds

from thawline.plan.day_record import Visit, most_at_once, recorded, way_to_chair

NONE = timedelta(0)


def _visit(code, **stamps):
    return Visit(code, **{k: v if k == "chair" else at(v) for k, v in stamps.items()})


BOOKED = _visit(
    "1", booked="08:00", screened="08:02", seated="08:04", chair="chair 1", dosed="08:05",
    left="08:20",
)  # fmt: skip
WAITED = _visit(
    "2", booked="08:00", screened="08:10", seated="08:30", chair="chair 1", dosed="08:31",
    left="08:46",
)  # fmt: skip
WALKED_IN = _visit("3", registered="08:29", seated="08:35", chair="chair 2")
REFERRED = _visit("4", booked="08:10", turned_away="08:07")
STAYED_AWAY = _visit("5", booked="08:10")
EVERYBODY = (BOOKED, WAITED, WALKED_IN, REFERRED, STAYED_AWAY)


def _day(*visits, way=NONE):
    return recorded(visits, way, at("08:00"), 2)


def test_who_has_any_stamp_came_and_who_has_none_stayed_away():
    found = _day(*EVERYBODY)

    assert (found.booked, found.came, found.stayed_away, found.walk_ups) == (4, 3, 1, 1)
    assert (found.seated, found.stamped, found.doses) == (3, 2, 2)
    assert STAYED_AWAY.came_by is None


def test_nobody_came_later_than_their_first_stamp():
    assert _day(*EVERYBODY).late_by == (minutes(-3), minutes(2), minutes(10))


def test_a_wait_is_from_the_last_question_to_the_scan_less_the_way():
    assert _day(*EVERYBODY).waits == (minutes(2), minutes(20))
    assert _day(*EVERYBODY, way=minutes(3)).waits == (NONE, minutes(17))
    assert _day(*EVERYBODY, way=minutes(3)).mean_wait == minutes(8.5)


def test_a_wait_as_long_as_promised_is_not_over_it():
    found = _day(*EVERYBODY)

    assert found.over(minutes(20)) == 0
    assert found.over(minutes(19)) == 1


def test_a_screening_stamped_after_the_scan_tells_no_wait():
    late = _visit("6", screened="08:09", seated="08:08", chair="chair 1")
    same = _visit("7", screened="08:08", seated="08:08", chair="chair 1")

    assert late.to_chair is None
    assert same.to_chair == NONE
    assert _day(late).stamped == 0


def test_the_way_to_a_chair_is_that_of_the_quickest_tenth():
    """Waits of 5, 10, ... 100 seconds: two of twenty are quicker than 15 s."""
    visits = [
        Visit(str(n), screened=at("08:00"), seated=at("08:00") + seconds(5 * n), chair="1")
        for n in range(1, 21)
    ]

    assert way_to_chair(visits) == seconds(15)
    assert way_to_chair([STAYED_AWAY]) == NONE


def test_on_a_day_on_which_all_wait_the_way_is_two_minutes_at_most():
    assert way_to_chair([WAITED]) == minutes(2)


def test_half_hours_hold_who_was_in_line_and_the_doses_given():
    """In line at 08:03 and 08:11; the walk-up is known from 08:35 on, with no known wait."""
    one, other = _day(*EVERYBODY, way=minutes(1)).halves

    assert (one.starts, one.ready, one.doses, one.wait) == (at("08:00"), 2, 1, minutes(10))
    assert (other.starts, other.ready, other.doses, other.wait) == (at("08:30"), 1, 1, None)


def test_the_last_half_hour_holds_all_that_is_later():
    late = _visit("8", seated="11:00", chair="chair 1", dosed="11:01")

    assert _day(late).halves[1].doses == 1


def test_a_day_without_doses_has_no_last_one():
    found = _day(STAYED_AWAY)

    assert (found.last_dose, found.mean_wait, found.most_observed) == (None, None, 0)


def test_seats_under_observation_are_counted_at_once():
    """From 08:05 to 08:20 and from 08:31: never two; one who leaves as another comes, one."""
    assert _day(*EVERYBODY).most_observed == 1
    assert most_at_once([(at("08:00"), at("08:15")), (at("08:15"), at("08:30"))]) == 1
    assert most_at_once([(at("08:00"), at("08:16")), (at("08:15"), at("08:30"))]) == 2
