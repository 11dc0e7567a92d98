"""
Reported anaphylaxis after mRNA vaccines with published exact ranges.

CDC, MMWR 70(2) and 70(4) of January 2021; Hourihane and others, table II of PMC8248554 (2021);
Cases, doses and ranges as read on 2026-11-25. The tolerance is half of the last printed digit.
 MMWR 70(18):685-688 table 1: rates of events at mass sites.
"""

import pytest

from thawline.report.intervals import rate_of


@pytest.mark.parametrize(
    ("cases", "doses", "lower", "upper"),
    [
        (21, 1_893_360, 6.9, 17.0),
        (10, 4_041_396, 1.2, 4.6),
        (15, 1_893_360, 4.4, 13.1),
        (5, 4_041_396, 0.4, 2.9),
    ],
    ids=["MMWR 70(2)", "MMWR 70(4)", "reassessed, first", "reassessed, second"],
)
def test_the_range_is_the_published_one(cases, doses, lower, upper):
    found = rate_of(cases, doses, per=1_000_000)

    assert found.lower == pytest.approx(lower, abs=0.05)
    assert found.upper == pytest.approx(upper, abs=0.05)


@pytest.mark.parametrize(
    ("cases", "people", "per_1000"),
    [(29, 3901, 7.4), (10, 881, 11.4), (12, 1673, 7.2), (7, 1347, 5.2), (12, 2323, 5.2),
     (8, 593, 13.5), (11, 1770, 6.2)],
)  # fmt: skip
def test_the_rate_of_a_mass_site_is_the_published_one(cases, people, per_1000):
    assert rate_of(cases, people, per=1000).rate == pytest.approx(per_1000, abs=0.05)
