"""No flipped bit changes an entry, a receipt or a state unseen."""

import pytest
from tests.harness.flips import LOG, flip

from thawline.adapters.db.schema import LEDGER


@pytest.mark.parametrize("file", [LEDGER, LOG], ids=["the file", "its log"])
def test_no_flipped_bit_is_silent(file):
    tally = flip(30, file)

    assert tally.silent == []
    assert tally.noticed > 0


@pytest.mark.powercuts
@pytest.mark.parametrize("file", [LEDGER, LOG], ids=["the file", "its log"])
def test_no_flipped_bit_of_a_thousand_is_silent(file):
    tally = flip(1000, file, seed=29)

    assert (tally.flips, tally.silent) == (1000, [])
