"""
Immunize.org, Ask the Experts (2023), quoting the General Best Practice Guidelines: people who
bleed easily are vaccinated with a needle of 23 gauge or finer and firm pressure, without
rubbing, for at least 2 minutes, and told of a possible haematoma. Read on 2026-11-25.
"""

from datetime import date

import pytest
from tests.against_published_sources.screened import screened


@pytest.mark.parametrize("rules", ["field-2021", "national-2021", "later-2022"])
def test_whoever_bleeds_easily_is_given_it_with_a_fine_needle_and_pressure(rules):
    found = screened(rules, date(2021, 2, 1), "Q16=yes")

    assert (found.outcome.bare, found.observe_min) == ("give", 15)
    for words in ("23 gauge or finer", "2 minutes", "without rubbing", "bruise"):
        assert words in found.advice()
