"""The last vial: every way through small hours, laws, played days; all made up."""

import numpy as np
import pytest
from scipy.stats import binom
from tests.plan.every_last_way import EveryLastWay

from thawline.base.errors import RecordError
from thawline.plan.last_days import always, drawn, played
from thawline.plan.last_hours import LastHours
from thawline.plan.last_vial import Step, quantile_days, solve
from thawline.plan.opening import Prices

FEW = (0.3, 0.4, 0.3)
PRICES = Prices(1, 3, 0.2)
DAYS = 20_000
SEED = 28
MOST_Z = 4


def hours(slots=4, in_hand=1, chances=FEW, **more):
    said = {"waiting": 0, "vials": 1, "doses_per_vial": 3, "warm_slots": 1, **more}
    keeps = said.pop("keeps", (in_hand,) * (slots + 1))
    return LastHours(np.array([chances] * slots), keeps, **said)


def booked(counts, in_hand, comes=0.93, **more):
    """Return hours with so many booked in each slot, sure of nobody."""
    rows = np.zeros((len(counts), max(counts) + 1))
    for slot, count in enumerate(counts):
        rows[slot, : count + 1] = binom.pmf(np.arange(count + 1), count, comes)
    said = {"waiting": 0, "vials": 1, "doses_per_vial": 10, "warm_slots": 3, **more}
    return LastHours(rows, (in_hand,) * (len(counts) + 1), **said)


LAST_HOUR = (0, 0, 2, 0, 1, 0, 2, 0, 1, 0, 1, 0, 1, 0)
"""Slots of five minutes from 16:50: eight booked from 17:00 to 17:50."""


@pytest.mark.parametrize("person", [0.5, 3.0, 12.0])
@pytest.mark.parametrize("warm", [0, 1, 2])
@pytest.mark.parametrize("travel", [(), (1, 2), (3, 0)])
@pytest.mark.parametrize(("in_hand", "waiting", "vials"), [(1, 0, 1), (2, 1, 2), (0, 2, 0)])
def test_no_way_through_the_last_hours_is_cheaper(
    person, warm, travel, in_hand, waiting, vials
):
    asked = hours(
        in_hand=in_hand, waiting=waiting, vials=vials, warm_slots=warm, travel=travel, takes=0.6
    )
    prices = Prices(1, person, 0.2)

    found = solve(asked, prices)

    assert found.first[found.best][0].price == pytest.approx(
        EveryLastWay(asked, prices).least(), abs=1e-9
    )


@pytest.mark.parametrize("warm", [0, 1, 2])
@pytest.mark.parametrize("keeps", [(4, 4, 2, 0, 0), (5, 5, 5, 1, 1), (5, 0, 0, 0, 0)])
def test_no_way_is_cheaper_where_a_use_by_passes_in_the_last_hours(warm, keeps):
    asked = hours(keeps=keeps, travel=(1,), takes=0.5, warm_slots=warm, doses_per_vial=4)

    prices = Prices(1, 20, 2)

    found = solve(asked, prices)

    assert found.first[found.best][0].price == pytest.approx(
        EveryLastWay(asked, prices).least(), abs=1e-9
    )


def test_the_price_is_the_sum_of_its_parts():
    told = solve(hours(travel=(1,), takes=0.5), PRICES).first[Step.WAIT][0]

    parts = told.doses_wasted + 3 * told.people_asked_back + 0.2 * told.slots_held
    assert told.price == pytest.approx(parts)


def test_one_waits_until_the_vial_would_just_be_ready_for_the_first_who_may_go_without():
    # By hand: six in hand, the seventh is booked at 17:40, a vial takes 15 min: 17:25, slot 7.
    found = solve(booked(LAST_HOUR, 6), Prices(1, 10, 0.25))

    assert (found.best, found.waits_until()) == (Step.WAIT, (7, 0.0))


def test_a_small_chance_of_having_to_act_sooner_is_said():
    # On 3 of 100 days two come at once and take the doses of the two who are sure to come.
    rows = np.array([[0.97, 0, 0.03], [1, 0, 0], [1, 0, 0], [0, 0, 1], [1, 0, 0]])
    asked = LastHours(rows, (2,) * 6, 0, 1, 10, 1)

    slot, sooner = solve(asked, Prices(1, 10, 0.25)).waits_until()

    assert (slot, sooner) == (None, pytest.approx(0.03))


def test_one_does_not_wait_where_somebody_is_sure_to_go_without():
    found = solve(booked((2, 2, 2, 2), 1, comes=1.0, warm_slots=1), Prices(1, 10, 0.25))

    assert found.best is Step.BRING


def test_no_vial_is_needed_where_the_doses_do_for_everybody():
    found = solve(booked(LAST_HOUR, 8), PRICES)

    assert (found.best, found.waits_until()) == (Step.WAIT, (None, 0.0))
    assert found.nothing.chance_short == 0


def test_one_person_is_not_worth_a_vial_where_asking_back_is_cheap():
    # At the close nine of ten doses would be spilt for one person: 9 against 3.
    found = solve(booked((1, 0), 0, comes=1.0, warm_slots=0), Prices(1, 3, 0))

    assert found.first[Step.BRING][0].price == pytest.approx(9)
    assert found.nothing.price == pytest.approx(3)


def test_three_people_are_worth_a_vial_of_ten_at_three_doses_a_person():
    # The closed form of the methods table: open for e people when e (price + 1) > 10.
    found = solve(booked((3, 0), 0, comes=1.0, warm_slots=0), Prices(1, 3, 0))

    assert found.brings_from(1) == -3
    assert found.first[found.best][0].price == pytest.approx(7)


def test_without_a_vial_to_bring_there_is_nothing_to_bring():
    found = solve(hours(vials=0), PRICES)

    assert set(found.first) == {Step.WAIT}
    assert found.bring_only is None


def test_a_vial_that_cannot_be_warm_before_the_close_is_not_brought():
    found = solve(hours(slots=2, in_hand=0, warm_slots=2), PRICES)

    assert set(found.first) == {Step.WAIT}


def test_names_too_far_away_are_not_called():
    near = solve(hours(travel=(1,), takes=0.5), PRICES)
    far = solve(hours(travel=(4,), takes=0.5), PRICES)

    assert Step.CALL in near.first
    assert Step.CALL not in far.first


def test_a_name_more_on_the_list_never_makes_it_dearer():
    prices = [
        solve(hours(in_hand=5, travel=(1,) * names, takes=0.5), PRICES)
        for names in (0, 1, 2, 3)
    ]

    assert [p.first[p.best][0].price for p in prices] == sorted(
        (p.first[p.best][0].price for p in prices), reverse=True
    )


@pytest.mark.parametrize("person", [3.0, 5.0, 10.0])
def test_days_played_by_the_rule_come_to_its_price(person):
    asked = booked(LAST_HOUR, 6, travel=(3,) * 8, takes=0.5)
    prices = Prices(1, person, 0.25)
    found = solve(asked, prices)
    days = drawn(asked, DAYS, np.random.default_rng(SEED))

    price = played(asked, found.rule, days, asked.takes).price(prices)

    error = price.std(ddof=1) / DAYS**0.5
    assert abs(price.mean() - found.first[found.best][0].price) < MOST_Z * error


def test_the_advice_beats_every_plain_rule_in_the_long_run():
    asked = booked(LAST_HOUR, 6, travel=(3,) * 8, takes=0.5)
    prices = Prices(1, 5, 0.25)
    days = drawn(asked, DAYS, np.random.default_rng(SEED))
    best = played(asked, solve(asked, prices).rule, days, 0.5).price(prices)
    plain = [
        always(asked, first=Step.BRING, when_asked=True),
        always(asked, first=Step.WAIT, when_asked=True),
        always(asked, first=Step.WAIT, when_asked=False),
    ]

    gains = [played(asked, rule, days, 0.5).price(prices) - best for rule in plain]

    assert all(gain.mean() > MOST_Z * gain.std(ddof=1) / DAYS**0.5 for gain in gains)


def test_plain_rules_waste_what_can_be_counted_by_hand():
    asked = booked((2, 0, 0), 1, comes=1.0, warm_slots=1, doses_per_vial=4)
    days = drawn(asked, 1, np.random.default_rng(SEED))

    at_once = played(asked, always(asked, first=Step.BRING, when_asked=False), days, 0)
    never = played(asked, always(asked, first=Step.WAIT, when_asked=False), days, 0)

    assert (at_once.wasted[0], at_once.away[0], at_once.held[0]) == (3, 0, 1)
    assert (never.wasted[0], never.away[0]) == (0, 1)


def test_a_vial_ready_at_once_is_played_as_such():
    asked = booked((2, 0), 1, comes=1.0, warm_slots=0, doses_per_vial=4)
    days = drawn(asked, 1, np.random.default_rng(SEED))

    at_once = played(asked, always(asked, first=Step.BRING, when_asked=False), days, 0)

    assert (at_once.wasted[0], at_once.held[0]) == (3, 0)


def test_twenty_days_lie_at_the_middles_of_twenty_equal_shares():
    # One of two people comes by a coin: 1/4, 1/2, 1/4; of 20 days 5, 10 and 5.
    days = quantile_days(booked((2,), 0, comes=0.5), 20)

    assert [days.count(people) for people in (0, 1, 2)] == [5, 10, 5]


@pytest.mark.parametrize(
    "wrong",
    [
        {"waiting": -1},
        {"vials": -1},
        {"warm_slots": -1},
        {"doses_per_vial": 0},
        {"takes": 1.5},
        {"travel": (-1,)},
        {"keeps": (1, 2, 2, 2, 2)},
        {"keeps": (1,)},
        {"chances": (0.5, 0.4)},
        {"slots": 0},
    ],
    ids=lambda wrong: str(next(iter(wrong))),
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(RecordError):
        hours(**wrong)
