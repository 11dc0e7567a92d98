"""
No power cut loses an acknowledged act or breaks the ledger, and the harness can tell.

SQLite's documentation says of a log that is synced at every commit (FULL) that a commit
survives a power cut, and of one that is not (NORMAL) that it may roll back.
"""

from random import Random

import pytest
from tests.harness.disks import Cut, Synced, Written, after_the_cut
from tests.harness.powercuts import cut_power

CUTS_A_DAY = 200


def test_no_cut_loses_an_acknowledged_act_or_breaks_the_ledger():
    tally = cut_power(100)

    assert (tally.cuts, tally.lost, tally.broken) == (100, 0, 0), tally.says


def test_without_a_sync_at_each_commit_the_same_cuts_lose_acts():
    assert cut_power(30, synchronous="NORMAL").lost > 0


def test_without_any_sync_the_same_cuts_break_the_ledger():
    assert cut_power(20, synchronous="OFF").broken > 0


@pytest.mark.powercuts
@pytest.mark.parametrize("seed", range(10))
def test_two_thousand_cuts_lose_nothing(seed):
    tally = cut_power(CUTS_A_DAY, seed=seed)

    assert (tally.cuts, tally.lost, tally.broken) == (CUTS_A_DAY, 0, 0), tally.says


@pytest.mark.powercuts
@pytest.mark.parametrize("seed", range(10))
def test_two_thousand_cuts_of_the_control_lose_acts_each_time(seed):
    assert cut_power(CUTS_A_DAY, synchronous="NORMAL", seed=seed).lost > 0


@pytest.mark.powercuts
@pytest.mark.parametrize("seed", range(10))
def test_two_thousand_cuts_without_any_sync_break_the_ledger_each_time(seed):
    assert cut_power(CUTS_A_DAY, synchronous="OFF", seed=seed).broken > 0


def test_what_was_synced_is_there_after_the_cut():
    happened = [Written("ledger.db", 2, b"cd"), Synced("ledger.db"), Synced("ledger.db-wal")]

    assert after_the_cut({"ledger.db": b"abxx"}, happened, Random(1)) == {"ledger.db": b"abcd"}  # noqa: S311


def test_what_was_not_synced_may_be_there_or_not():
    happened = [Written("ledger.db", 0, b"n"), Cut("ledger.db", 1)]

    left = {
        after_the_cut({"ledger.db": b"old"}, happened, Random(seed))["ledger.db"]  # noqa: S311
        for seed in range(40)
    }

    assert left == {b"old", b"nld", b"o", b"n"}


def test_a_write_is_torn_between_sectors_only():
    happened = [Written("ledger.db-wal", 0, b"n" * 1024)]
    before = {"ledger.db-wal": b"o" * 1024}

    left = {
        after_the_cut(before, happened, Random(seed))["ledger.db-wal"]  # noqa: S311
        for seed in range(40)
    }

    halves = {b"n" * 512, b"o" * 512}
    assert left == {first + second for first in halves for second in halves}
