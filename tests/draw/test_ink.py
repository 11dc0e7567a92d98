"""The inks are told apart by every eye, in grey and on paper."""

from itertools import combinations

import pytest
from tests.draw.colour_vision import SIMULATED, contrast, distance, lab, luminance

from thawline.draw.ink import BANDS, FAINT, INK, MUTED, PAPER, RULE, STOP

# what stands beside or on what, and must not be taken for it
MUST_DIFFER = [
    *combinations([STOP, PAPER, FAINT, MUTED], 2),
    (STOP, INK),
    (STOP, RULE),
    (INK, FAINT),
    (INK, PAPER),
    *combinations([*BANDS, INK], 2),
    *((band, PAPER) for band in BANDS[1:]),
]
NOT_BY_INK = {(PAPER, FAINT)}  # the band's faint ground: its limits are lines with labels
LEAST_APART = 15  # of CIEDE2000; the project's rule for the look of the tool, section 8

# Sharma, Wu & Dalal 2005, table 1 (pairs 1, 7, 9, 20, 24 and 25), compared with public copies
PRINTED = [
    ((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485), 2.0425),
    ((50.0, 0.0, 0.0), (50.0, -1.0, 2.0), 2.3669),
    ((50.0, 2.49, -0.001), (50.0, -2.49, 0.0009), 7.1792),
    ((50.0, 2.5, 0.0), (58.0, 24.0, 15.0), 19.4535),
    ((50.0, 2.5, 0.0), (73.0, 25.0, -18.0), 27.1492),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
]


@pytest.mark.parametrize(("one", "other", "printed"), PRINTED)
def test_the_distance_is_the_printed_one(one, other, printed):
    assert distance(one, other) == pytest.approx(printed, abs=5e-5)


@pytest.mark.parametrize("vision", SIMULATED)
@pytest.mark.parametrize(("one", "other"), [p for p in MUST_DIFFER if p not in NOT_BY_INK])
def test_inks_that_mean_something_differ_to_every_eye(vision, one, other):
    assert distance(lab(one, vision), lab(other, vision)) >= LEAST_APART


def test_words_stand_out_from_paper_and_band():
    for ink in (INK, MUTED, STOP):
        assert contrast(ink, PAPER) >= 4.5  # WCAG 2.1, criterion 1.4.3, level AA
        assert contrast(ink, FAINT) >= 4.5


def test_limits_and_marks_stand_out_from_the_band():
    assert contrast(STOP, FAINT) >= 3  # WCAG 2.1, criterion 1.4.11
    assert contrast(MUTED, FAINT) >= 3


def test_in_grey_the_band_is_lighter_than_every_line_on_it():
    assert luminance(FAINT) > 3 * max(luminance(ink) for ink in (INK, MUTED, STOP))
