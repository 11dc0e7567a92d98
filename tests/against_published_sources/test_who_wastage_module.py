"""
Wastage factors, against a teaching module that follows WHO's monitoring guide.

Open University and Ethiopian Ministry of Health, immunization module, Box 5.1 and section
5.2.5: wastage factor = 100 / (100 - wastage rate in percent); 30 % gives 1.43 and 10 % gives
1.11. After WHO, "Monitoring vaccine wastage at country level", WHO/V&B/03.18. As the check
tables of 2026-11-25 give it. Row 38 of the clinical check table; the further rates there are
computed by the same formula. Tolerance: half the last printed digit.
"""

from fractions import Fraction

import pytest

from thawline.account.wastage import wastage_factor

HALF_A_HUNDREDTH = 0.005


@pytest.mark.parametrize(
    ("percent", "factor"),
    [(30, 1.43), (10, 1.11), (5, 1.05), (15, 1.18), (25, 1.33), (50, 2.00), (60, 2.50)],
)
def test_a_wastage_rate_has_its_printed_factor(percent, factor):
    found = float(wastage_factor(Fraction(percent, 100)))

    assert found == pytest.approx(factor, abs=HALF_A_HUNDREDTH)
