"""
Wastage of doses issued and given, against a printed survey.

BMC Public Health 2020, s12889-020-08637-1, Table 1: 6,043 doses administered of 8,595 issued,
70.3 % used, 29.7 % wasted, wastage factor 1.42 (printed 1.4). As the check tables of
2026-11-25 give it. Row 39 of the clinical check table. Tolerance: half the last printed
digit.
"""

import pytest

from thawline.account.wastage import Usage

SURVEY = Usage(issued=8_595, given=6_043)


def test_what_was_issued_and_not_given_is_the_printed_rate():
    assert float(SURVEY.wastage_rate) * 100 == pytest.approx(29.7, abs=0.05)


def test_the_factor_is_the_printed_one():
    assert float(SURVEY.wastage_factor) == pytest.approx(1.4, abs=0.05)
