"""Who stays away: the shares, by whom they are said, and what is not known."""

from datetime import date, time

import pytest

from thawline.base.errors import RecordError
from thawline.plan.learned_demand import earlier
from thawline.plan.no_show import NoShow, SaidBy, Visit, by_hand, learned

MONDAY, TUESDAY, SUNDAY = date(2026, 2, 2), date(2026, 2, 3), date(2026, 2, 1)


def test_a_share_given_by_hand_stands_for_everybody_and_says_so():
    given = by_hand(0.08)

    assert given.share("nurses") == given.share("") == 0.08
    assert given.said_by is SaidBy.HAND
    assert "by hand" in given.says


def test_a_group_has_its_own_share_and_everybody_else_theirs():
    shares = NoShow({"over 80": 0.02, "*": 0.1}, SaidBy.FILE, "groups.csv")

    assert shares.share("over 80") == 0.02
    assert shares.share("students") == 0.1


def test_a_group_nothing_is_known_about_is_refused_by_name():
    shares = NoShow({"over 80": 0.02}, SaidBy.FILE, "groups.csv")

    with pytest.raises(RecordError, match="students"):
        shares.share("students")


@pytest.mark.parametrize("share", [-0.01, 1.01, 8, float("nan"), float("inf")])
def test_a_share_outside_nought_and_one_is_refused(share):
    with pytest.raises(RecordError, match="between 0 and 1"):
        by_hand(share)


@pytest.mark.parametrize("share", [0, 1])
def test_nobody_or_everybody_may_stay_away(share):
    assert by_hand(share).share("") == share


def visits(day, came, missed, walked=0):
    nine = time(9)
    return [
        *(Visit(day, nine, walk_up=False, shift=0) for _ in range(came)),
        *(Visit(day, nine, walk_up=False, shift=None) for _ in range(missed)),
        *(Visit(day, nine, walk_up=True, shift=0) for _ in range(walked)),
    ]


def test_a_learned_share_says_from_how_many_bookings_and_days():
    seen = learned(visits(MONDAY, 3, 1))

    assert seen.share("") == 0.25
    assert seen.said_by is SaidBy.RECORD
    assert "1 of 4 bookings on 1 earlier day " in seen.says


def test_whoever_walked_in_says_nothing_of_no_shows():
    assert learned(visits(MONDAY, 8, 2, walked=30)).share("") == 0.2


def test_a_day_without_any_dose_teaches_nothing():
    seen = learned([*visits(MONDAY, 9, 1), *visits(SUNDAY, 0, 40)])

    assert seen.share("") == 0.1
    assert "on 1 earlier day " in seen.says


def test_a_day_that_is_running_is_said_apart():
    seen = learned([*visits(MONDAY, 9, 1), *visits(TUESDAY, 3, 2)], today=TUESDAY)

    assert seen.share("") == 0.2
    assert "3 of 15 bookings of today and of 1 earlier day " in seen.says


def test_nothing_is_learned_from_no_bookings():
    assert learned([]) is None
    assert learned(visits(MONDAY, 0, 0, walked=3)) is None


def test_every_plan_learns_the_same_share_of_the_same_days():
    """The staffing and the rolling thaw by `earlier`, the thaw plan and the last vial here."""
    seen = [*visits(MONDAY, 8, 2, walked=30), *visits(TUESDAY, 5, 5, walked=1)]

    assert learned(seen).share("") == earlier(seen, [time(9)]).no_show.mean == 0.35
