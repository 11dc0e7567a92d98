"""When to open another vial: every way through small days, laws, simulation; made up."""

import numpy as np
import pytest
from scipy.stats import binom
from tests.plan.every_way import EveryWay

from thawline.base.errors import RecordError
from thawline.plan.opening import WORDS, OpeningDay, Prices, policy
from thawline.plan.opening_kernel import HOLD, OPEN

FEW = (0.3, 0.4, 0.3)


def _day(chances, slots, **more):
    return OpeningDay(np.array([chances] * slots), **more)


@pytest.mark.parametrize("hold_most", [0, 1, 3])
@pytest.mark.parametrize("standby", [0, 2])
@pytest.mark.parametrize(("per_vial", "life"), [(2, 1), (3, 2), (4, 9)])
@pytest.mark.parametrize("person", [0.4, 1.5, 3.0])
def test_no_way_through_the_day_is_cheaper(hold_most, standby, per_vial, life, person):
    day = _day(
        FEW, 5, doses_per_vial=per_vial, life_slots=life, hold_most=hold_most,
        standby=standby, takes=0.6,
    )  # fmt: skip
    prices = Prices(1, person, 0.2)

    assert policy(day, prices).best.cost == pytest.approx(
        EveryWay(day, prices).least(), abs=1e-12
    )


def test_the_price_is_the_sum_of_its_parts():
    day = _day(FEW, 12, doses_per_vial=5, life_slots=6, hold_most=2)
    best = policy(day, Prices(1, 2, 0.1)).best

    parts = best.doses_wasted + 2 * best.people_asked_back + 0.1 * best.slots_held
    assert best.cost == pytest.approx(parts)


def test_every_dose_opened_is_given_or_wasted():
    day = _day(FEW, 12, doses_per_vial=5, life_slots=6, hold_most=2)
    best = policy(day, Prices(1, 2, 0.1)).best

    given = 12 * (0.4 + 2 * 0.3) - best.people_asked_back
    assert 5 * best.vials_opened == pytest.approx(given + best.doses_wasted)


def test_nobody_is_asked_back_when_open_when_asked():
    day = _day(FEW, 12, doses_per_vial=5, life_slots=6, hold_most=2)

    assert policy(day, Prices(1, 2, 0.1)).open_when_asked.people_asked_back == 0


def test_a_dear_person_makes_open_when_asked_the_best_and_it_says_so():
    day = _day(FEW, 12, doses_per_vial=10, life_slots=36)

    assert policy(day, Prices(1, 10, 5)).is_open_when_asked
    assert not policy(day, Prices(1, 3, 5)).is_open_when_asked


@pytest.mark.parametrize(("person", "least"), [(3, 3), (10, 1), (2, 4)])
def test_at_the_close_a_vial_is_opened_when_those_served_outweigh_the_rest(person, least):
    """Open for e people of ten doses when e (person + 1) is more than 10."""
    found = policy(_day(FEW, 2, doses_per_vial=10, life_slots=36), Prices(1, person, 5))

    assert found.opens_from(1, 0) == least


def test_where_a_person_costs_nothing_only_full_vials_are_opened():
    found = policy(_day(FEW, 2, doses_per_vial=3, life_slots=9), Prices(1, 0, 5))

    assert found.opens_from(0, 0) is None


def test_nobody_is_held_longer_than_allowed_nor_past_the_last_slot():
    found = policy(
        _day(FEW, 6, doses_per_vial=10, life_slots=2, hold_most=2), Prices(1, 5, 0.01)
    )

    assert (found.choices[:, :, 2] != HOLD).all()
    assert (found.choices[-1] != HOLD).all()
    assert (found.choices[0, 0, 0, 1:] == HOLD).any()


def _played(day, prices, choices, dice):
    """Play one day by the table of choices; return what it cost."""
    n, left, life, waiting, held, cost = day.doses_per_vial, 0, 0, 0, 0, 0.0
    for slot, chances in enumerate(day.arrivals):
        ask = waiting + int(dice.choice(len(chances), p=chances))
        oldest, waiting, held = (held if waiting else 0), 0, 0
        from_vial = min(ask, left)
        ask, left = ask - from_vial, left - from_vial
        whole, e = divmod(ask, n)
        oldest = 0 if whole else oldest
        if e and choices[slot, 0, oldest, e] == OPEN:
            left, life = n - e, day.life_slots
        elif e and choices[slot, 0, oldest, e] == HOLD:
            waiting, held, cost = e, oldest + 1, cost + prices.person_held * e
        elif e:
            cost += prices.person_asked_back * e
        life -= 1
        if left and life <= 0:
            cost, left = cost + prices.dose_wasted * left, 0
    return cost + prices.dose_wasted * left


def test_days_played_by_the_table_cost_what_it_says():
    day = OpeningDay(
        np.array([binom.pmf(np.arange(4), 3, 0.3)] * 20), doses_per_vial=5, life_slots=6,
        hold_most=2,
    )  # fmt: skip
    prices, dice = Prices(1, 2, 0.2), np.random.default_rng(28)
    found = policy(day, prices)

    costs = np.array([_played(day, prices, found.choices, dice) for _ in range(4000)])

    z = (costs.mean() - found.best.cost) / (costs.std() / np.sqrt(len(costs)))
    assert abs(z) < 4


def test_each_choice_has_a_word():
    assert set(WORDS) == {0, 1, 2}


@pytest.mark.parametrize(
    ("chances", "more"),
    [
        ([[0.5, 0.4]], {}),
        ([[1.5, -0.5]], {}),
        (np.zeros((0, 2)), {}),
        ([[1.0]], {"doses_per_vial": 0}),
        ([[1.0]], {"life_slots": 0}),
        ([[1.0]], {"hold_most": -1}),
        ([[1.0]], {"standby": -1}),
        ([[1.0]], {"takes": 1.5}),
    ],
)
def test_days_that_cannot_be_are_refused(chances, more):
    with pytest.raises(RecordError):
        OpeningDay(np.array(chances), **{"doses_per_vial": 10, "life_slots": 36, **more})


@pytest.mark.parametrize("price", [-1.0, float("nan"), float("inf")])
def test_a_price_below_nothing_or_without_end_is_refused(price):
    with pytest.raises(RecordError, match="price"):
        Prices(1, price, 1)
