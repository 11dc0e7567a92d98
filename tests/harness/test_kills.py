"""No killed process takes an acknowledged act with it, and another one writes on."""

import pytest
from tests.harness.kills import kill


def test_five_kills_lose_nothing():
    tally = kill(5)

    assert (tally.kills, tally.lost, tally.broken) == (5, 0, 0), tally.says
    assert tally.told > 100


@pytest.mark.kills
def test_five_hundred_kills_lose_nothing():
    tally = kill(500)

    assert (tally.kills, tally.lost, tally.broken) == (500, 0, 0), tally.says
    assert tally.told > 10_000
