"""What was acknowledged and is gone shows, even where the chain that is left is whole."""

from pathlib import Path
from shutil import copy

import pytest
from tests.acts import FLAGS, WHERE, act, moved, says
from tests.fakes import SITE

from thawline.adapters.db.gate import gate
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.adapters.db.witness import WITNESS, note, noted
from thawline.ledger.entries import Head

FOLDS = (WHERE, FLAGS)
HEAD = Head(2, 417, bytes(range(32)))


@pytest.fixture
def folder(tmp_path):
    create(tmp_path, SITE)
    return tmp_path


def write(folder, *numbers):
    ledger = DbLedger(folder, FOLDS)
    receipts = [ledger.record(act(number), says(moved("HK47M"))) for number in numbers]
    ledger.close()
    return receipts


def found(folder):
    ledger = DbLedger(folder, FOLDS)
    findings = ledger.verify(None).findings
    ledger.close()
    return [finding.says.split(":")[0] for finding in findings]


def files(folder: Path, into: Path):
    into.mkdir()
    for path in folder.glob(f"{LEDGER}*"):
        copy(path, into)
    return into


def put_back(kept: Path, folder: Path):
    for path in folder.glob(f"{LEDGER}*"):
        path.unlink()
    for path in kept.iterdir():
        copy(path, folder)


def test_the_newest_entry_is_noted_after_each_act(folder):
    (receipt,) = write(folder, 1)

    assert noted(folder) == Head(1, 1, bytes.fromhex(receipt.hash))


def test_an_act_asked_again_notes_nothing_new(folder):
    write(folder, 1, 2)
    before = (folder / WITNESS).read_bytes()

    write(folder, 1)

    assert (folder / WITNESS).read_bytes() == before


def test_an_older_copy_put_in_its_place_is_noticed(folder, tmp_path):
    write(folder, 1)
    kept = files(folder, tmp_path / "copy")
    write(folder, 2, 3)

    put_back(kept, folder)

    assert found(folder) == ["entries 2 to 3 were acknowledged and are gone"]
    assert [f.code for f in gate(folder, FOLDS, act(9).recorded_at, None)] == ["ledger-lost"]


def test_the_next_entry_says_for_ever_that_something_is_gone(folder, tmp_path):
    write(folder, 1)
    kept = files(folder, tmp_path / "copy")
    write(folder, 2)
    put_back(kept, folder)

    late, later = write(folder, 3, 4)

    assert [finding.code for finding in late.findings] == ["ledger-lost"]
    assert later.findings == ()


def test_reading_or_asking_again_does_not_hide_it(folder, tmp_path):
    write(folder, 1)
    kept = files(folder, tmp_path / "copy")
    write(folder, 2)
    put_back(kept, folder)

    write(folder, 1)

    assert found(folder) == ["entries 2 to 2 were acknowledged and are gone"]


def test_another_history_under_the_same_numbers_is_noticed(folder, tmp_path):
    write(folder, 1)
    kept = files(folder, tmp_path / "copy")
    write(folder, 2)
    (folder / WITNESS).rename(tmp_path / "note")
    put_back(kept, folder)
    write(folder, 3, 4)
    (tmp_path / "note").rename(folder / WITNESS)

    assert found(folder) == ["entry 2 is not the one that was acknowledged under this number"]


def test_a_note_that_lags_behind_is_fine(folder):
    write(folder, 1)
    note_of_one = (folder / WITNESS).read_bytes()
    write(folder, 2)
    (folder / WITNESS).write_bytes(note_of_one)

    assert found(folder) == []


def test_a_note_reads_back(tmp_path):
    note(tmp_path, HEAD)

    assert noted(tmp_path) == HEAD


@pytest.mark.parametrize(
    "torn",
    [b"", b"\xff" * 128, b"2 417", b"2 417 00 11"],
    ids=["empty", "not text", "half", "another digest"],
)
def test_a_torn_note_says_nothing(tmp_path, torn):
    (tmp_path / WITNESS).write_bytes(torn)

    assert noted(tmp_path) is None


def test_any_changed_digit_of_a_note_is_noticed(tmp_path):
    note(tmp_path, HEAD)
    held = (tmp_path / WITNESS).read_text()

    for at, digit in enumerate(held.rstrip()):
        if digit != " ":
            other = "1" if digit == "0" else "0"
            (tmp_path / WITNESS).write_text(held[:at] + other + held[at + 1 :])
            assert noted(tmp_path) is None


def test_no_note_is_no_finding(folder):
    write(folder, 1)
    (folder / WITNESS).unlink()

    assert noted(folder) is None
    assert found(folder) == []


def test_where_no_note_can_be_written_the_act_is_recorded_all_the_same(folder):
    (folder / WITNESS).mkdir()

    (receipt,) = write(folder, 1)

    assert receipt.seq == 1
    assert noted(folder) is None
