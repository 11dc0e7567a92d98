"""
The targets of a rolling thaw, on a morning small enough to count on one's fingers.

The newsvendor fractile is the textbook's: price of too few / (too few + too many); for mean
100, sd 20 and prices 5 and 3 the order is 106.3728 (A6 of the project's methods table).
"""

from datetime import timedelta

import pytest
from scipy.stats import norm

from thawline.base.errors import RecordError
from thawline.base.instants import read_instant
from thawline.plan.day_kinds import DaySpread, day_kinds
from thawline.plan.demand import Party
from thawline.plan.rolling import (
    Asking,
    Moves,
    SurplusPrices,
    Target,
    ends_of,
    moves_now,
    targets,
)
from thawline.plan.thaw import OnHand, ThawRule

SIX = read_instant("2026-02-03T06:00:00-06:00")
RULE = ThawRule(
    doses_per_vial=10,
    in_fridge=timedelta(hours=2, minutes=30),
    on_table=timedelta(minutes=15),
    straight=timedelta(hours=1),
)
SURE = day_kinds(DaySpread(0.0, 0.0))


def test_the_chance_to_have_enough_is_the_newsvendors_share():
    fridge, table = SurplusPrices(person=5, chilled=3, on_table=5).services()

    assert 100 + 20 * norm.ppf(fridge) == pytest.approx(106.3728, abs=5e-5)
    assert table == 0.5


@pytest.mark.parametrize("prices", [(0, 1, 1), (5, 0, 1), (5, 1, 6), (float("inf"), 1, 1)])
def test_prices_that_say_nothing_are_refused(prices):
    with pytest.raises(RecordError, match=r"price|costs"):
        SurplusPrices(*prices).services()


def test_each_way_must_last_until_what_is_moved_the_next_time_is_ready():
    (ends,) = ends_of([SIX], RULE, timedelta(minutes=30))

    assert [end - SIX for end in ends] == [
        timedelta(hours=3, minutes=15),
        timedelta(minutes=45),
        timedelta(hours=1, minutes=30),
    ]


def test_the_targets_are_whole_vials_for_everybody_until_then():
    party = Party(0.0, 25, (0.0, 0.4, 1.0))
    (target,) = targets(
        [party], [0.0, 0.0, 0.0], SURE, [Asking(SIX, 2, 0, 1)], ((0.9, 0.9), RULE, OnHand(3))
    )

    # 25 people less 3 doses ready: 22, three vials; nobody by the first end
    assert (target.people, target.thawed, target.on_table) == (25, 3, 0)
    assert target.straight == 1  # 13 are enough of Binomial(25, 0.4) nine times in ten: 10 more


@pytest.mark.parametrize(
    ("chilled", "moves"),
    [
        (0, Moves(to_fridge=3, to_table=0, straight=2)),
        (1, Moves(to_fridge=3, to_table=1, straight=1)),
        (4, Moves(to_fridge=1, to_table=1, straight=0)),
        (9, Moves(to_fridge=0, to_table=1, straight=0)),
    ],
)
def test_what_is_chilled_goes_first_and_only_the_rest_goes_straight(chilled, moves):
    target = Target(SIX, people=48, thawed=5, on_table=1, straight=2)

    assert moves_now(target, OnHand(0, chilled)) == moves
