"""Where protocol files are found: by a shipped name, by an id, on disk, on standard input."""

import io

import pytest

from thawline.adapters import rule_files
from thawline.base.errors import NotFoundError, RuleError
from thawline.base.instants import read_instant


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


def test_rule_sets_are_shipped_apart_from_protocols():
    assert rule_files.rule_sets() == ("field-2021", "later-2022", "national-2021")
    assert not set(rule_files.rule_sets()) & {*rule_files.names(), *rule_files.ids()}


@pytest.mark.parametrize(
    ("name", "at", "found"),
    [
        ("field-2021", None, ("field", 1)),
        ("later-2022", "2020-01-01T00:00:00Z", ("national", 2)),
        ("national", None, ("national", 2)),
        ("national", "2020-01-01T00:00:00Z", ("national", 1)),
        ("national", "2021-12-31T23:59:59Z", ("national", 1)),
        ("national", "2022-01-01T00:00:00Z", ("national", 2)),
        ("field", "2026-01-01T00:00:00Z", ("field", 1)),
        ("example-10", None, ("example-10", 4)),
        ("published", "2021-12-03T00:00:00Z", ("published", 2)),
        ("published-2022", None, ("published", 3)),
    ],
)
def test_questions_come_from_a_rule_set_or_a_protocol_in_force(name, at, found):
    ref = rule_files.load_questions(name, at and read_instant(at)).ref

    assert (ref.id, ref.version) == found


def test_questions_of_ones_own_are_read_from_a_path_or_standard_input(tmp_path, monkeypatch):
    raw = rule_files.shipped("field-2021")
    path = tmp_path / "ours.toml"
    path.write_bytes(raw)
    monkeypatch.setattr("sys.stdin", _Input(raw))

    assert rule_files.load_questions(str(path)).ref == rule_files.load_questions("-").ref


def test_questions_that_there_are_not_are_not_found():
    with pytest.raises(NotFoundError) as refused:
        rule_files.load_questions("field-2022")

    assert refused.value.advice == "did you mean field-2021?"


@pytest.mark.parametrize(
    ("protocol", "rules"),
    [
        *(
            (f"example-10-{version}", "field-2021")
            for version in ("v1", "v2", "v3", "v3-draft", "v4")
        ),
        ("published-2021-02", "national-2021"),
        ("published-2021-12", "national-2021"),
        ("published-2022", "later-2022"),
    ],
)
def test_a_protocol_carries_the_rule_set_of_its_time_word_for_word(protocol, rules):
    own, shipped = (rule_files.load_questions(name).asked for name in (protocol, rules))

    assert own == shipped
