"""How broken code is counted: what ends in no verdict counts against the tests."""

import pytest
from tools.mutants import counted, page, share

LISTED = """
    thawline.rules.bands.x_band_at__mutmut_1: killed
    thawline.rules.bands.x_band_at__mutmut_2: survived
    thawline.rules.bands.x_band_at__mutmut_3: timeout
    thawline.rules.bands.x_band_at__mutmut_4: no tests
    thawline.account.x_postings__mutmut_1: killed
"""


@pytest.mark.parametrize(
    ("ending", "percent"),
    [
        ("killed", 100),
        ("timeout", 100),
        ("survived", 50),
        ("no tests", 50),
        ("not checked", 50),
        ("suspicious", 50),
        ("segfault", 50),
        ("check was interrupted by user", 50),
    ],
)
def test_only_a_failed_or_endless_test_notices_a_break(ending, percent):
    listed = f"thawline.vial.x_a__mutmut_1: killed\nthawline.vial.x_a__mutmut_2: {ending}\n"

    assert share(counted(listed)["vial"]) == percent


def test_of_no_breaks_none_is_noticed():
    assert share(counted("")["vial"]) == 0


def test_the_page_shows_every_room_and_what_was_not_noticed():
    lines = page(counted(LISTED), "2026-11-27, 2 cores", kept=False).splitlines()

    assert "| rules | 4 | 1 | 1 | 2 | 50.0 % | 90 % |" in lines
    assert "| account | 1 | 1 | 0 | 0 | 100.0 % | 90 % |" in lines
    assert "| vial | 0 | 0 | 0 | 0 | 0.0 % | 90 % |" in lines
    assert "Not noticed: no tests 1, survived 1." in lines
