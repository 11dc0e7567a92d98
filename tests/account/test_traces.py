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


@pytest.mark.parametrize("kind", ["published", "common practice", "from memory", "ours"])
def test_a_weight_can_have_a_source_of_each_kind(kind):
    table = read_weights(_changed('kind = "ours"', f'kind = "{kind}"'), ["found"])

    assert table.sources["ours"].kind == kind


def test_one_is_the_least_a_trace_can_weigh():
    assert (
        read_weights(_changed("weight = 3", "weight = 1"), ["found"]).traces["found"].weight
        == 1
    )


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"\xff", "weights of a missing dose: 'utf-8' codec can't decode"),
        (b"format = ", "weights of a missing dose: Invalid value"),
        (_changed("weight = 3", "weight = 0.3"), "weights of a missing dose: Expected `int`"),
        (
            _changed("weight = 3", "weight = 0"),
            "weights of a missing dose: found weighs 0, at least 1",
        ),
        (
            _changed("weight = 2", "weight = -1"),
            "weights of a missing dose: nothing_of_this weighs -1, at least 1",
        ),
        (
            _changed('source = "ours"', 'source = "WHO"'),
            "weights of a missing dose: source 'WHO' of nothing_of_this has no known kind",
        ),
        (_changed("PT5M", "5 min"), "not a duration: '5 min'"),
        (_changed("within", "wihtin"), "weights of a missing dose: Object contains unknown"),
    ],
)
def test_a_table_that_cannot_be_right_is_refused_with_its_fault(raw, says):
    with pytest.raises(RuleError) as refused:
        read_weights(raw, ["found"])

    assert refused.value.says.startswith(says)


def test_a_source_of_no_known_kind_is_refused_with_the_kinds_there_are():
    with pytest.raises(RuleError) as refused:
        read_weights(_changed('kind = "ours"', 'kind = "wisdom"'), ["found"])

    assert refused.value.advice == (
        "give [sources.ours] a kind: published, common practice, from memory, ours"
    )


@pytest.mark.parametrize(
    ("codes", "apart"),
    [([], "found"), (["found", "lost", "kept"], "kept, lost")],
    ids=["one too many", "two too few"],
)
def test_every_trace_that_is_looked_for_has_a_weight_and_no_other(codes, apart):
    with pytest.raises(RuleError) as refused:
        read_weights(TABLE.encode(), codes)

    assert refused.value.says == f"weights of a missing dose: missing or not known: {apart}"
