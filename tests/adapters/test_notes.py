"""The note that travels with vials: whole or not there, and never over another file."""

import json
import os
from uuid import UUID

import pytest

from thawline.adapters.notes import check_free, write_note
from thawline.base.errors import RecordError

ACT = UUID("01936b1e-0000-7000-8000-000000000001")


def test_a_note_is_written_whole(tmp_path):
    write_note(str(tmp_path / "note.json"), {"to_site": "quillbeck"}, ACT)

    assert json.loads((tmp_path / "note.json").read_text()) == {"to_site": "quillbeck"}


def test_a_file_that_is_there_is_never_replaced_and_the_acts_id_is_named(tmp_path):
    (tmp_path / "note.json").write_text("another")

    with pytest.raises(RecordError) as error:
        write_note(str(tmp_path / "note.json"), {}, ACT)

    assert error.value.advice == f"repeat the command with --id {ACT} and another --note"
    assert (tmp_path / "note.json").read_text() == "another"


def test_a_note_that_cannot_be_written_whole_is_taken_away(tmp_path, monkeypatch):
    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RecordError, match="No space left"):
        write_note(str(tmp_path / "note.json"), {"to_site": "quillbeck"}, ACT)

    assert list(tmp_path.iterdir()) == []


def test_before_the_act_it_is_looked_whether_there_is_room_for_the_note(tmp_path):
    (tmp_path / "note.json").write_text("another")

    for path, says in (("note.json", "a file already"), ("none/note.json", "no such folder")):
        with pytest.raises(RecordError, match=says):
            check_free(str(tmp_path / path))
    check_free(str(tmp_path / "free.json"))
