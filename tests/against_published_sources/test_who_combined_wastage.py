"""
Closed-vial and open-vial wastage together, by the formula of a WHO concept note.

WHO, "Revising global indicative wastage rates", concept note of 8 April 2019, read in a
reproduced copy, as the check tables of 2026-11-25 give it: 1 - (1 - wc) ^ n (1 - wo). With wc
1 %, n 3 levels and wo 10 % it gives 12.67 %; that number was computed from the formula, not
printed in the note. Tolerance: half the last digit.
"""

from fractions import Fraction

import pytest

from thawline.account.wastage import combined_wastage


def test_one_percent_at_three_levels_and_a_tenth_in_open_vials():
    wasted = combined_wastage(Fraction(1, 100), 3, Fraction(1, 10))

    assert float(wasted) * 100 == pytest.approx(12.67, abs=0.005)
