"""
Doses from a vial by its fill and what a syringe keeps, against published volumes.

D1: preprint RS-990753, another vaccine: 2.25 mL diluted, 0.3 mL a dose: 6 doses with less
than 35 µL of dead space (syringe with needle); with 120 µL, the 0.07 mL of syringes and 0.05
mL of needles that a study held against ISO 7886-1:2018 found, 5. D2: USP <1151>, excess
volumes of injections: 5 mL labelled carry 0.30 mL, a fill of 5.3 mL. Both as the check tables
of 2026-11-25 give them; the floor of fill over dose and dead space was computed from the
printed volumes. Rows D1 and D2 of the cold-chain check table.
"""

import pytest

from thawline.app.calculators import vial_yield


@pytest.mark.parametrize(
    ("fill_ul", "dose_ul", "dead_space_ul", "doses"),
    [
        (2250, 300, 35, 6),
        (2250, 300, 120, 5),
        (5300, 500, 30, 10),
        (5300, 500, 35, 9),
        (5300, 500, 120, 8),
    ],
)
def test_a_fill_gives_the_printed_number_of_doses(fill_ul, dose_ul, dead_space_ul, doses):
    assert vial_yield(fill_ul, dose_ul, dead_space_ul, None).doses == doses
