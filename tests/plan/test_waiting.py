"""Waiting at a station: laws and hand sums, figures made up."""

import pytest

from thawline.base.errors import RecordError
from thawline.plan.waiting import (
    Station,
    erlang_b,
    erlang_c,
    fewest_servers,
    served_within,
    waiting_at,
)


def test_with_one_serving_the_chance_to_wait_is_the_share_of_time_busy():
    assert erlang_c(1, 0.3) == pytest.approx(0.3)


def test_where_nobody_waits_two_lines_and_a_load_of_one_block_one_in_five():
    assert erlang_b(2, 1.0) == pytest.approx(0.5 / 2.5)


def test_people_there_are_people_an_hour_times_their_time():
    """Little's law."""
    station = Station(per_hour=30, service_s=90, servers=1)
    found = waiting_at(station)

    assert found.mean_in_system == pytest.approx(30 * (found.mean_wait_s + 90) / 3600)
    assert (found.utilisation, found.p_wait) == (0.75, pytest.approx(0.75))


@pytest.mark.parametrize("servers", [1, 2])
def test_where_more_come_than_can_be_served_the_line_grows(servers):
    station = Station(per_hour=120, service_s=60, servers=servers)
    found = waiting_at(station)

    assert (found.p_wait, found.mean_wait_s, found.mean_in_system) == (1.0, None, None)
    assert served_within(station, 10_000) == 0.0


def test_the_fewest_are_just_enough():
    station = Station(per_hour=65, service_s=150, servers=1)

    fewest = fewest_servers(station, within_s=60, promise=0.9)

    assert served_within(Station(65, 150, fewest), 60) >= 0.9
    assert served_within(Station(65, 150, fewest - 1), 60) < 0.9


def test_a_whole_load_needs_one_more_than_itself_at_least():
    assert fewest_servers(Station(60, 60, 1), within_s=10_000, promise=0.5) == 2


@pytest.mark.parametrize(
    ("per_hour", "service_s", "servers"),
    [(0, 60, 1), (-5, 60, 1), (10, 0, 1), (10, 60, 0), (10, 60, 20_000), (float("nan"), 60, 1)],
)
def test_stations_that_cannot_be_are_refused(per_hour, service_s, servers):
    with pytest.raises(RecordError):
        Station(per_hour, service_s, servers)


@pytest.mark.parametrize("promise", [0, 1, 1.2])
def test_a_promise_to_everybody_or_nobody_is_refused(promise):
    with pytest.raises(RecordError, match="promise"):
        fewest_servers(Station(10, 60, 1), 60, promise)


def test_a_wait_below_zero_is_refused():
    with pytest.raises(RecordError, match="within"):
        served_within(Station(10, 60, 1), -1)


def test_more_than_can_be_hired_is_said():
    with pytest.raises(RecordError, match="more than 10000"):
        fewest_servers(Station(1_000_000, 3600, 1), 0, 0.9)
