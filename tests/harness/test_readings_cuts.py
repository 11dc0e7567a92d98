"""No power cut loses readings that an entry may vouch for, and the harness can tell."""

import pytest
from tests.harness.readings_cuts import cut_power_on_readings


def test_no_cut_loses_readings_that_were_acknowledged():
    tally = cut_power_on_readings(60)

    assert (tally.cuts, tally.lost) == (60, 0), tally.says


def test_without_a_sync_at_each_commit_the_same_cuts_lose_readings():
    assert cut_power_on_readings(30, synchronous="OFF").lost > 0


@pytest.mark.powercuts
@pytest.mark.parametrize("seed", range(5))
def test_a_thousand_cuts_lose_no_readings(seed):
    tally = cut_power_on_readings(200, seed=seed)

    assert (tally.cuts, tally.lost) == (200, 0), tally.says
