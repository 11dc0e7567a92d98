"""
What a mean over a year hides, in published numbers.

Anderson, Seevers and Hunt, USP Stimuli article, Pharmacopeial Forum 44(4), 2018, as a news page
on it reports: readings each 15 minutes over 52 weeks have a mean kinetic temperature of
23.98 °C (at most 25 passes), the worst 30 days 28.98 °C (fails), one day 30.7 °C. As the
project's cold-chain check values give it, 2026-11-25; row M13. The readings are not published;
what is checked is that a year made of such a month and of the rest has the printed year.
"""

import pytest

from thawline.store.stays import described_stays, read_stays

ENERGY = 83.144
LIMIT_C = 25


def year(rest_c, days):
    found = described_stays(read_stays(f"28.98 C 30 d, {rest_c:.3f} C {days} d"), ENERGY)
    return found.mkt_c


def test_m13_a_year_within_the_limit_holds_a_month_far_beyond_it():
    """With 23.37 °C in the other 334 of 364 days, a mild store, the year is the printed one."""
    month, whole = 28.98, year(23.37, 334)

    assert whole == pytest.approx(23.98, abs=0.005)
    assert whole <= LIMIT_C < month


def test_m13_the_warmest_day_hides_in_the_month_as_the_month_in_the_year():
    month = described_stays(read_stays("30.7 C 1 d, 28.917 C 29 d"), ENERGY)

    assert month.mkt_c == pytest.approx(28.98, abs=0.01)
    assert month.max_c == 30.7
