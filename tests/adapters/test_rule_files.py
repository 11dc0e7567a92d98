"""Where protocol files are found: by a shipped name, by an id, on disk, on standard input."""

import io

import pytest

from thawline.adapters import rule_files
from thawline.base.errors import NotFoundError, RuleError


class _Input:
    def __init__(self, raw):
        self.buffer = io.BytesIO(raw)


def test_a_draft_is_shipped_and_is_no_version():
    assert "example-10-v3-draft" in rule_files.names()
    assert [file.ref.version for file in rule_files.versions_of("example-10")] == [1, 2, 3, 4]


def test_the_references_are_no_protocol():
    assert "published" not in rule_files.names()
    assert rule_files.ids() == ("example-10", "published")


def test_an_id_without_a_moment_stands_for_its_newest_version():
    assert rule_files.load("example-10").ref.version == 4


def test_an_unknown_id_has_no_versions():
    assert rule_files.versions_of("example") == ()


def test_a_file_of_ones_own_is_read_from_its_path(tmp_path):
    path = tmp_path / "ours.toml"
    path.write_bytes(rule_files.shipped("published-2022"))

    assert rule_files.load(str(path)).ref == rule_files.load("published-2022").ref


def test_standard_input_is_a_file_too(monkeypatch):
    raw = rule_files.shipped("published-2022")
    monkeypatch.setattr("sys.stdin", _Input(raw))

    assert rule_files.load("-").raw == raw


def test_no_more_is_read_than_a_rule_file_may_have(monkeypatch):
    monkeypatch.setattr("sys.stdin", _Input(b"#" * 1_000_000))

    assert len(rule_files.bytes_of("-")) == 262_145


@pytest.mark.parametrize(
    ("name", "error"),
    [("nowhere.toml", NotFoundError), (".", RuleError), ("a\0b", RuleError)],
    ids=["no file", "a folder", "no name at all"],
)
def test_what_is_no_file_is_refused(name, error):
    with pytest.raises(error):
        rule_files.load(name)


def test_a_shipped_name_that_there_is_not_is_not_found():
    with pytest.raises(NotFoundError) as refused:
        rule_files.shipped("example-10-v9")

    assert refused.value.advice.startswith("did you mean example-10-v")
