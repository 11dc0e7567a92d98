"""
Group sequential critical values of the same ratio, as exact sums computed beside the design of
this project (no published counterpart is claimed); typed from its table of check values.
"""

import pytest

from thawline.report.looks import boundary


@pytest.mark.parametrize(
    ("looks", "least", "critical", "attained"),
    [
        ([10], 1, 1.520058, 0.048740),
        ([5, 10], 1, 1.931472, 0.047867),
        ([2, 4, 6, 8, 10], 1, 2.298372, 0.049937),
        (list(range(1, 11)), 1, 2.580160, 0.044145),
        (list(range(1, 11)), 4, 2.580160, 0.044145),
        ([4, 8, 12, 16, 20], 4, 2.298372, 0.046330),
        (list(range(1, 21)), 4, 2.623203, 0.049255),
    ],
)
def test_the_least_critical_value_and_what_it_attains(looks, least, critical, attained):
    found = boundary(looks, 0.05, least)

    assert found.critical == pytest.approx(critical, abs=1e-6)
    assert found.attained_alpha == pytest.approx(attained, abs=1e-6)
