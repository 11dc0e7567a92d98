"""
Erlang's formulas against worked examples and tables.

The rows of Erlang B and C were confirmed in the table of check values against sums of
Poisson's law. Worked examples as read on 2026-11-25: a problem of a public mathematics corpus
(120 an hour, 3 min, 10 serving: about 0.10 wait); an assertion of a public Erlang test suite
(10 Erlang, 180 s, 13 agents, 20 s: 79.56 %); the documentation of a mathematics system (30 an
hour, 5 min: 6 for at least 90 % without a wait); Render, Stair, Hanna, instructor's manual,
example 14.3 (20 an hour, 2 min, 2 serving). From memory: loads at 1 % blocking of the classic
tables; Hillier and Lieberman's emergency room (2 an hour, 20 min). Chairs: M/G/infinity.
"""

from datetime import timedelta

import pytest

from thawline.plan.chairs import Stay, chairs_for
from thawline.plan.waiting import (
    Station,
    erlang_b,
    erlang_c,
    fewest_servers,
    served_within,
    waiting_at,
)

ROWS = [
    (1, 0.5, 0.333333, 0.500000), (3, 2, 0.210526, 0.444444), (5, 3, 0.110054, 0.236152),
    (10, 5, 0.018385, 0.036105), (10, 6, 0.043142, 0.101299), (10, 8, 0.121661, 0.409180),
    (13, 10, 0.084339, 0.285270), (20, 10, 0.001869, 0.003731), (50, 40, 0.018691, 0.086953),
    (100, 90, 0.026957, 0.216940),
]  # fmt: skip
LOAD_AT_ONE_PERCENT = [
    (1, 0.010),
    (2, 0.153),
    (5, 1.361),
    (10, 4.461),
    (20, 12.031),
    (50, 37.901),
]


@pytest.mark.parametrize(("servers", "load", "blocked", "waits"), ROWS)
def test_erlang_b_and_c_are_those_of_the_table(servers, load, blocked, waits):
    assert erlang_b(servers, load) == pytest.approx(blocked, abs=5e-7)
    assert erlang_c(servers, load) == pytest.approx(waits, abs=5e-7)


@pytest.mark.parametrize(("servers", "load"), LOAD_AT_ONE_PERCENT)
def test_the_classic_loads_block_one_in_a_hundred(servers, load):
    assert erlang_b(servers, load) == pytest.approx(0.01, abs=2e-4)


def test_ten_serving_120_an_hour_in_3_minutes():
    assert waiting_at(Station(120, 180, 10)).p_wait == pytest.approx(0.101299, abs=5e-7)


def test_thirteen_agents_answer_four_of_five_within_20_seconds():
    assert served_within(Station(200, 180, 13), 20) == pytest.approx(0.7956, abs=5e-5)


def test_six_serve_nine_of_ten_without_a_wait():
    assert fewest_servers(Station(30, 300, 1), within_s=0, promise=0.9) == 6


def test_two_serving_twenty_an_hour():
    found = waiting_at(Station(20, 120, 2))

    assert found.p_wait == pytest.approx(1 / 6)
    assert found.mean_in_system == pytest.approx(0.75)
    assert found.mean_wait_s == pytest.approx(15)


@pytest.mark.parametrize(("servers", "wait_h"), [(1, 2 / 3), (2, 1 / 24)])
def test_an_emergency_room_with_one_and_with_two(servers, wait_h):
    assert waiting_at(Station(2, 1200, servers)).mean_wait_s == pytest.approx(wait_h * 3600)


STAYS = (Stay(timedelta(minutes=15), 0.95), Stay(timedelta(minutes=30), 0.05))
FIFTEEN = (Stay(timedelta(minutes=15), 1.0),)


@pytest.mark.parametrize(
    ("per_hour", "stays", "mean", "chairs"),
    [(220.8, STAYS, 57.96, (71, 76, 83)), (150, FIFTEEN, 37.5, (48, 52, 58)),
     (240, FIFTEEN, 60, (73, 79, 85))],
)  # fmt: skip
def test_chairs_for_three_covers(per_hour, stays, mean, chairs):
    found = [chairs_for(per_hour, stays, cover) for cover in (0.95, 0.99, 0.999)]

    assert found[0].mean == pytest.approx(mean)
    assert tuple(each.chairs for each in found) == chairs
