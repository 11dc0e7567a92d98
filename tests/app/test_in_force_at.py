"""Which version counts for a dose of a day is what it is when one dose is asked about."""

from types import SimpleNamespace

import pytest
from tests.cast import at

from thawline.app.in_force import in_force_at, in_force_between
from thawline.base.instants import exactly, from_ms, to_ms
from thawline.ledger.site import Adopted
from thawline.rules.protocol import ProtocolRef

TEN, NOON = to_ms(at("10:00")), to_ms(at("12:00"))
SITE = SimpleNamespace(rules=SimpleNamespace(protocol=lambda ref: ref.version))


def adopted(version: int, from_ms_: int) -> Adopted:
    return Adopted(ProtocolRef("small", version, "ab" * 32), from_ms_, from_ms_)


@pytest.mark.parametrize(
    ("moment", "version"),
    [(TEN - 1, 1), (TEN, 1), (NOON - 1, 1), (NOON, 2), (NOON + 1, 2)],
)
def test_a_version_counts_from_its_very_millisecond_and_the_oldest_before_all(moment, version):
    versions = [adopted(2, NOON), adopted(1, TEN)]
    when = from_ms(moment)
    assert in_force_at(SITE, versions)(when) == version
    assert in_force_between(SITE, versions, exactly(when))[0] == version


def test_of_two_that_begin_together_the_later_adopted_counts():
    assert in_force_at(SITE, [adopted(1, TEN), adopted(2, TEN)])(from_ms(TEN)) == 2
