"""Editions of published figures and which one a file is held against; all made up."""

from datetime import timedelta
from decimal import Decimal

import pytest
from tests.rules.made_up import REFERENCES, changed, published

from thawline.base.durations import Allowance
from thawline.base.errors import RuleError
from thawline.base.instants import read_instant
from thawline.rules.audit import edition_for
from thawline.rules.published import read_published
from thawline.rules.reading import examined


def _edition(*swaps):
    edition = edition_for(examined(changed(*swaps)).leaves, published())
    return edition.name if edition else None


def test_an_edition_says_what_changed_and_keeps_the_rest():
    one, two = published().editions

    assert (one.figures["bands.frozen.low_c"], two.figures["bands.frozen.low_c"]) == (-28, -30)
    assert two.figures["bands.frozen.high_c"] == Decimal(-20)
    assert two.figures["clocks.open.allows"] == Allowance(0, timedelta(hours=5))
    assert two.figures["transport.punctured.may"] is False
    assert two.sources["bands.frozen.low_c"] == "print"


def test_every_value_that_was_ever_in_print_is_known():
    assert published().ever("bands.frozen.low_c") == {Decimal(-28), Decimal(-30)}
    assert published().ever("bands.cellar.low_c") == frozenset()


@pytest.mark.parametrize(
    ("at", "name"),
    [
        ("2019-12-31T00:00:00Z", "one"),
        ("2020-12-31T23:59:59Z", "one"),
        ("2021-01-01T00:00:00Z", "two"),
    ],
)
def test_an_edition_holds_until_the_next_one(at, name):
    assert published().of_time(read_instant(at)).name == name


@pytest.mark.parametrize(
    ("swap", "name"),
    [
        (("version = 2", "version = 2"), "two"),
        (("2021-06-01", "2020-06-01"), "one"),
        (("version = 2", 'version = 2\ncompared_with = "one"'), "one"),
        (("version = 2", 'version = 2\ncompared_with = "nothing"'), None),
        (("2021-06-01T06:00:00-06:00", '"soon"'), "two"),
    ],
    ids=["by its start", "an early start", "named", "none is about it", "no start: the newest"],
)
def test_a_file_is_held_against_the_edition_it_names_or_of_its_time(swap, name):
    assert _edition(swap) == name


def test_an_edition_that_there_is_not_is_refused_with_the_known_ones():
    with pytest.raises(RuleError) as refused:
        _edition(("version = 2", 'version = 2\ncompared_with = "three"'))

    assert refused.value.advice == "known: one, two, nothing"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('may = false, source = "print"', 'may = false, source = "x"', "no source 'x'"),
        ('{ may = false, source = "print" }', '{ source = "print" }',
         "published figures: transport.punctured.may has no figure"),
        ('lasts = "PT5H"', 'lasts = "5 h"', "not a duration"),
        ("value = 0.4", 'valeu = 0.4', "unknown field `valeu`"),
    ],
)  # fmt: skip
def test_references_that_are_wrong_are_refused(old, new, says):
    with pytest.raises(RuleError, match=says):
        read_published(REFERENCES.replace(old, new, 1).encode())
