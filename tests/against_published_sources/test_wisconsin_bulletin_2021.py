"""
Wisconsin Department of Health Services, bulletin on transporting the 28-day product, 2021-03.

As excerpted in the project's cold-chain check values, section 6; read there on 2026-11-25.
Tolerance: none.
"""

import pytest
from tests.against_published_sources.printed_figures import figure

from thawline.adapters import rule_files

FILES = ["published-2021-02", "published-2021-12", "published-2022"]


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize(
    ("key", "printed"),
    [
        ("transport.total.allows", "PT12H"),
        ("transport.by.cart.allows", "PT1H"),
        ("transport.by.vehicle.allows", "PT12H"),
        ("transport.by.plane.allows", "PT3H"),
        ("transport.trips.most", "1"),
        ("transport.punctured.may", "false"),
    ],
)
def test_thawed_vials_are_carried_as_the_bulletin_allows(name, key, printed):
    assert figure(name, key) == printed


@pytest.mark.parametrize("name", FILES)
def test_a_helicopter_is_not_allowed(name):
    assert rule_files.load(name).protocol.transport.by["helicopter"].allows is None
