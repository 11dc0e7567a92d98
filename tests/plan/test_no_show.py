"""Who stays away: the shares, by whom they are said, and what is not known."""

import pytest

from thawline.base.errors import RecordError
from thawline.plan.no_show import NoShow, SaidBy, by_hand, learned


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


def test_a_learned_share_says_from_how_many_bookings_and_days():
    seen = learned([True, False, False, False], days=1)

    assert seen.share("") == 0.25
    assert seen.said_by is SaidBy.RECORD
    assert "1 of 4 bookings on 1 earlier day " in seen.says


def test_nothing_is_learned_from_no_bookings():
    assert learned([], days=0) is None
