"""The protocol files that come with thawline can be read, and their ids stand for versions."""

import pytest

from thawline.adapters import rule_files
from thawline.base.errors import NotFoundError
from thawline.base.instants import read_instant
from thawline.rules.rule_sets import questions_of, read_questions


@pytest.mark.parametrize("name", rule_files.names())
def test_each_shipped_file_can_be_read(name):
    assert rule_files.load(name).raw == rule_files.shipped(name)


@pytest.mark.parametrize("name", rule_files.names())
def test_each_shipped_protocol_asks_what_stands_in_its_file(name):
    file = rule_files.load(name)

    assert questions_of(file) == read_questions(file.raw)
    assert questions_of(file).asked


@pytest.mark.parametrize(
    ("at", "version"),
    [
        ("2020-01-01T00:00:00Z", 1),
        ("2021-12-02T23:59:59Z", 1),
        ("2021-12-03T00:00:00Z", 2),
        ("2026-11-25T00:00:00Z", 3),
    ],
    ids=["before the first", "just before", "as it starts", "today"],
)
def test_an_id_stands_for_the_version_in_force(at, version):
    assert rule_files.load("published", read_instant(at)).ref.version == version


def test_a_misspelt_name_is_answered_with_the_likely_one():
    with pytest.raises(NotFoundError) as refused:
        rule_files.load("publishd")

    assert refused.value.advice == "did you mean published?"
