"""The table of weights: each has a source, and none pretends to be published."""

import pytest

from thawline.account.clues import FINDERS
from thawline.account.traces import read_weights
from thawline.adapters.missing_dose import weights
from thawline.base.errors import RuleError

TABLE = """
format = 1
[nothing_of_this]
weight = 2
source = "ours"
[traces.found]
weight = 3
within = "PT5M"
source = "ours"
[sources.ours]
kind = "ours"
"""


def _changed(old: str, new: str) -> bytes:
    assert old in TABLE
    return TABLE.replace(old, new, 1).encode()


def test_every_shipped_weight_is_said_to_be_our_own():
    shipped = weights()
    named = [shipped.nothing_of_this, *shipped.traces.values()]

    assert {shipped.sources[each.source].kind for each in named} == {"ours"}
    assert shipped.traces.keys() == FINDERS.keys()


def test_a_table_is_read_with_its_weights():
    assert read_weights(TABLE.encode(), ["found"]).traces["found"].weight == 3


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"\xff", "can't decode"),
        (b"format = ", "Invalid value"),
        (_changed("weight = 3", "weight = 0.3"), "Expected `int`"),
        (_changed("weight = 3", "weight = 0"), "found weighs 0"),
        (_changed("weight = 2", "weight = -1"), "nothing_of_this weighs -1"),
        (_changed('source = "ours"', 'source = "WHO"'), "source 'WHO' of nothing_of_this"),
        (_changed('kind = "ours"', 'kind = "wisdom"'), "has no known kind"),
        (_changed("PT5M", "5 min"), "not a duration"),
        (_changed("within", "wihtin"), "unknown field"),
    ],
)
def test_a_table_that_cannot_be_right_is_refused_with_its_fault(raw, says):
    with pytest.raises(RuleError, match=says):
        read_weights(raw, ["found"])


@pytest.mark.parametrize("codes", [[], ["found", "lost"]], ids=["one too many", "one too few"])
def test_every_trace_that_is_looked_for_has_a_weight_and_no_other(codes):
    with pytest.raises(RuleError, match="missing or not known"):
        read_weights(TABLE.encode(), codes)
