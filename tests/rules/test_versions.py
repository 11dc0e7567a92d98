"""Which of several versions counts when; dates made up."""

import pytest
from tests.rules.made_up import changed

from thawline.base.errors import RuleError
from thawline.base.instants import read_instant
from thawline.rules.reading import read_protocol
from thawline.rules.versions import in_force, in_order


def _version(number, start):
    return read_protocol(
        changed(("version = 2", f"version = {number}"), ("2021-06-01T06:00:00-06:00", start))
    )


def _first():
    return _version(1, "2021-06-01T06:00:00-06:00")


def _second():
    return _version(2, "2021-06-02T06:00:00-06:00")


@pytest.mark.parametrize(
    ("at", "version"),
    [
        ("2021-06-01T11:59:59Z", None),
        ("2021-06-01T12:00:00Z", 1),
        ("2021-06-02T11:59:59Z", 1),
        ("2021-06-02T12:00:00Z", 2),
        ("2031-01-01T00:00:00Z", 2),
    ],
    ids=["before any", "as the first starts", "a second before", "as the next starts", "later"],
)
def test_a_version_counts_from_its_start_until_the_next_ones(at, version):
    found = in_force([_second(), _first()], read_instant(at))

    assert (found and found.ref.version) == version


def test_the_same_file_twice_is_one_version():
    files = in_order([_first(), _second(), _first()])

    assert [file.ref.version for file in files] == [1, 2]


@pytest.mark.parametrize(
    ("number", "start"),
    [
        (2, "2021-06-01T12:00:00Z"),
        (1, "2021-06-03T06:00:00-06:00"),
        (2, "2021-05-01T06:00:00-06:00"),
    ],
    ids=["same start", "same number", "higher number starts earlier"],
)
def test_versions_that_cannot_be_told_apart_are_refused(number, start):
    with pytest.raises(RuleError, match="overlap") as refused:
        in_order([_first(), _version(number, start)])

    assert refused.value.advice == (
        "give each version a higher number and a later effective_from"
    )


def test_versions_that_overlap_are_named_with_their_starts():
    with pytest.raises(RuleError) as refused:
        in_order([_version(2, "2021-06-01T12:00:00Z"), _first()])

    assert refused.value.says == (
        "versions 1 and 2 of made-up overlap: "
        "they start 2021-06-01T12:00:00+00:00 and 2021-06-01T12:00:00+00:00"
    )
