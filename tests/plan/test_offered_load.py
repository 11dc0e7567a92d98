"""The offered load and the spare servers of a large station, against worked figures."""

import math
from datetime import timedelta

import pytest

from thawline.base.errors import RecordError
from thawline.plan.offered_load import offered_loads, spare_for
from thawline.plan.waiting import Station, waiting_at

SECOND = timedelta(seconds=1)


def test_a_swinging_day_has_the_load_of_its_differential_equation():
    """Methods table A5: 30 + 10 sin t people a second, turns of 1 s, t = 50: 23.86329559."""
    step, pieces = 1e-4, 500_000
    rates = [30 + 10 * math.sin((i + 0.5) * step) for i in range(pieces)]

    assert offered_loads(rates, SECOND * step, SECOND)[-1] == pytest.approx(
        23.86329559, abs=1e-8
    )


def test_an_even_day_comes_up_to_its_load_and_goes_down_again_by_hand():
    """Turns of 1 s, 8 a second for ln 2 s, twice, then nobody: 4, 6, 3."""
    found = offered_loads([8, 8, 0], SECOND * math.log(2), SECOND)

    assert found == pytest.approx((4, 6, 3), rel=1e-5)


@pytest.mark.parametrize(
    ("p_wait", "spare"),
    [(0.5, 0.5061), (0.2, 1.0615), (0.1, 1.4202), (0.05, 1.7398), (0.01, 2.3749)],
)
def test_the_spare_servers_of_a_large_station(p_wait, spare):
    """Methods table A5, computed there by another program."""
    assert spare_for(p_wait) == pytest.approx(spare, abs=5e-5)


def test_with_the_spare_servers_about_that_share_waits_in_a_very_large_station():
    servers = math.ceil(10_000 - 350 + spare_for(0.1) * 9_650**0.5)

    assert waiting_at(Station(9_650 * 3600, 1, servers)).p_wait == pytest.approx(0.1, rel=0.02)


def test_beyond_any_use_the_spare_is_bounded():
    assert spare_for(1e-300) == 8


@pytest.mark.parametrize(
    "asked",
    [
        lambda: offered_loads([1], timedelta(0), SECOND),
        lambda: offered_loads([1], SECOND, -SECOND),
        lambda: offered_loads([1, -1], SECOND, SECOND),
        lambda: offered_loads([math.nan], SECOND, SECOND),
        lambda: spare_for(0),
        lambda: spare_for(1),
    ],
)
def test_loads_that_cannot_be_are_refused(asked):
    with pytest.raises(RecordError):
        asked()
