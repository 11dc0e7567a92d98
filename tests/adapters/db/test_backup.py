"""Backups: what is in one, what is noticed when one was damaged, and what a restore does."""

import stat
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import apsw
import pytest
from tests.acts import FLAGS, NOON, WHERE, act, moved, says
from tests.fakes import SITE

from thawline.adapters.db import identity, schema
from thawline.adapters.db.backup import _copied, _write, check, cover_of, make, unpacked
from thawline.adapters.db.identity import DbPeople
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.restore import restore
from thawline.adapters.keys import backup_key, identity_key, make_keys, site_checker
from thawline.app.backup import Restoring
from thawline.app.ports import Name
from thawline.base.errors import BusyError, NotFoundError, RecordError, RefusedError
from thawline.ledger.events import EpochBegan

FOLDS = (WHERE, FLAGS)
BRYONY = Name("Bryony Testwick", born="1951-04-09")
RESTORING = Restoring(
    id=UUID(int=900), by="rowan", at=NOON, why="laptop fell", zone="America/Chicago"
)


def new_site(folder: Path, site=SITE):
    folder.mkdir(parents=True)
    make_keys(folder / "keys")
    schema.create(folder, site)
    identity.create(folder)
    (folder / "site.toml").write_text('[site]\nzone = "America/Chicago"\n')
    (folder / "protocols").mkdir()
    (folder / "protocols" / "example.toml").write_text("format = 1\n")
    return folder


@pytest.fixture
def folder(tmp_path):
    made = new_site(tmp_path / "sites" / "harrowmint")
    write(made, 1, moved("HK47M"))
    write(made, 2, moved("HK47M", to="table"))
    people = DbPeople(made, identity_key(made / "keys"))
    people.put("DEMO-000001", BRYONY)
    people.close()
    return made


@pytest.fixture
def backup(folder):
    return make(folder, FOLDS, NOON, backup_key(folder / "keys"))


@pytest.fixture
def envelope(folder, tmp_path):
    """The key that opens the backup, as kept in the sealed envelope."""
    kept = tmp_path / "envelope.key"
    kept.write_text((folder / "keys" / "backup.key").read_text())
    return kept


def write(folder, number, event):
    ledger = DbLedger(folder, FOLDS)
    ledger.record(act(number), says(event))
    ledger.close()


def spoilt(path: Path, change):
    other = path.with_name("spoilt.backup")
    other.write_bytes(change(bytearray(path.read_bytes())))
    return other


def flipped(at):
    def change(held):
        held[at] ^= 1
        return held

    return change


def test_a_backup_was_looked_through_when_it_is_there(backup, folder):
    assert backup.path.parent == folder / "backups"
    assert backup.path.name == "harrowmint-20260203T180000Z-000002.backup"
    assert (backup.verified.entries, backup.verified.findings) == (2, ())
    assert (backup.head.seq, backup.site) == (2, SITE)


def test_a_backup_is_readable_by_its_owner_only(backup):
    assert stat.S_IMODE(backup.path.stat().st_mode) == 0o600


def test_nothing_half_made_is_left(backup, folder):
    assert [path.name for path in (folder / "backups").iterdir()] == [backup.path.name]


def test_what_a_killed_process_left_half_made_is_swept(folder):
    (folder / "backups" / "half-made-old").mkdir(parents=True)
    (folder / "backups" / "half-made-old" / "ledger.db").touch()

    made = make(folder, FOLDS, NOON, backup_key(folder / "keys"))

    assert [path.name for path in (folder / "backups").iterdir()] == [made.path.name]


def test_nobody_reads_a_code_or_a_name_in_a_backup(backup):
    held = backup.path.read_bytes()

    assert b"HK47M" not in held
    assert b"Testwick" not in held


def test_the_front_page_says_whose_it_is_without_any_key(backup):
    cover = cover_of(backup.path)

    assert (cover.name, cover.seq, cover.epoch, cover.site) == ("harrowmint", 2, 1, str(SITE))


def test_a_backup_is_checked_by_opening_it(backup, folder):
    again = check(backup.path, FOLDS, backup_key(folder / "keys"))

    assert (again.head, again.verified.findings) == (backup.head, ())


def test_another_recipient_opens_it_too(folder, tmp_path):
    make_keys(tmp_path / "unit")
    (folder / "keys" / "recipients").mkdir()
    public = (tmp_path / "unit" / "backup.pub").read_text()
    (folder / "keys" / "recipients" / "health-unit.pub").write_text(public)

    made = make(folder, FOLDS, NOON, backup_key(folder / "keys"))

    assert check(made.path, FOLDS, backup_key(tmp_path / "unit")).head.seq == 2


def test_a_key_it_was_not_made_for_does_not_open_it(backup, tmp_path):
    make_keys(tmp_path / "other")

    with pytest.raises(RecordError, match="not made for the key here"):
        check(backup.path, FOLDS, backup_key(tmp_path / "other"))


def test_any_flipped_bit_of_a_backup_is_noticed(backup, folder):
    key = backup_key(folder / "keys")
    size = backup.path.stat().st_size
    front_page = range(0, 1000, 11)

    for at in (*front_page, *range(1000, size, 211)):
        with pytest.raises(RecordError):
            check(spoilt(backup.path, flipped(at)), FOLDS, key)


@pytest.mark.parametrize(
    ("change", "says_what"),
    [
        (lambda held: held[:-1], "end is missing"),
        (lambda held: held[:400], "end is missing"),
        (lambda held: held + b"more", "added after its end"),
        (lambda held: b"PK" + held, "not a backup"),
        (lambda _: b"", "not a backup"),
    ],
    ids=["a byte short", "cut in the front page", "bytes added", "another file", "empty"],
)
def test_a_cut_or_lengthened_backup_is_noticed(backup, folder, change, says_what):
    with pytest.raises(RecordError, match=says_what):
        check(spoilt(backup.path, change), FOLDS, backup_key(folder / "keys"))


def test_a_damaged_ledger_makes_no_backup(folder):
    connection = apsw.Connection(str(folder / "ledger.db"))
    connection.execute("UPDATE state_flags SET state = x'39'")
    connection.close()

    with pytest.raises(RecordError, match="no backup was kept: what is kept of flags HK47M"):
        make(folder, FOLDS, NOON, backup_key(folder / "keys"))
    assert list((folder / "backups").iterdir()) == []


def test_a_missing_backup_is_said(folder):
    with pytest.raises(NotFoundError, match=r"no backup 'none\.backup'"):
        check(folder / "none.backup", FOLDS, backup_key(folder / "keys"))


def test_a_site_is_there_again_on_another_machine(backup, envelope, tmp_path):
    other = tmp_path / "new-laptop" / "sites" / "harrowmint"
    other.parent.mkdir(parents=True)

    receipt = restore(backup.path, other, FOLDS, envelope, RESTORING)

    ledger = DbLedger(other, FOLDS)
    people = DbPeople(other, identity_key(other / "keys"))
    assert (receipt.seq, receipt.epoch) == (3, 2)
    assert people.get("DEMO-000001") == BRYONY
    assert ledger.verify(site_checker(other / "keys")).findings == ()
    assert (other / "protocols" / "example.toml").exists()
    assert stat.S_IMODE((other / "keys" / "backup.key").stat().st_mode) == 0o600
    ledger.close()
    people.close()


def test_the_new_epoch_names_the_last_entry_of_the_backup(backup, folder, envelope):
    restore(backup.path, folder, FOLDS, envelope, RESTORING)

    ledger = DbLedger(folder, FOLDS)
    with ledger.view() as view:
        entry = view.entry(RESTORING.id)
    ledger.close()
    assert entry.event == EpochBegan(
        parent_epoch=1, parent_seq=2, parent_hash=backup.cover.hash, why="laptop fell"
    )
    assert (entry.seq, entry.epoch, entry.by) == (3, 2, "rowan")


def test_what_stood_there_is_put_aside_and_backups_stay(backup, folder, envelope):
    restore(backup.path, folder, FOLDS, envelope, RESTORING)

    aside = folder.parent / ".replaced" / "harrowmint-20260203T180000Z"
    assert (aside / "ledger.db").exists()
    assert (aside / "identity.db").exists()
    assert (folder / "backups" / backup.path.name).exists()
    assert list((folder.parent / ".restoring").glob("half-made-*")) == []


def test_a_ledger_that_is_ahead_is_not_replaced_unless_somebody_says_so(
    backup, folder, envelope
):
    write(folder, 3, moved("CM62T"))

    with pytest.raises(RefusedError, match="1 newer entries"):
        restore(backup.path, folder, FOLDS, envelope, RESTORING)
    write(folder, 4, moved("RA93P"))

    receipt = restore(backup.path, folder, FOLDS, envelope, replace(RESTORING, replace=True))
    assert (receipt.seq, receipt.epoch) == (3, 2)


def test_a_ledger_that_went_another_way_is_not_replaced(backup, folder, envelope):
    restore(backup.path, folder, FOLDS, envelope, RESTORING)
    fork = make(folder, FOLDS, NOON, backup_key(folder / "keys"))
    restore(
        backup.path, folder, FOLDS, envelope,
        replace(RESTORING, replace=True, id=UUID(int=901), at=act(9).recorded_at),
    )  # fmt: skip

    with pytest.raises(RefusedError, match="went another way"):
        restore(fork.path, folder, FOLDS, envelope, RESTORING)


def test_a_ledger_that_cannot_be_read_is_replaced_only_when_somebody_says_so(
    backup, folder, envelope
):
    (folder / "ledger.db").write_bytes(b"not a database" * 100)

    with pytest.raises(RefusedError, match="cannot be read"):
        restore(backup.path, folder, FOLDS, envelope, RESTORING)
    restored = replace(RESTORING, replace=True)

    assert restore(backup.path, folder, FOLDS, envelope, restored).epoch == 2


def test_a_backup_of_a_damaged_ledger_is_not_restored(folder, envelope, tmp_path):
    """Such a backup is never made; here its parts are put together past the check."""
    connection = apsw.Connection(str(folder / "ledger.db"))
    connection.execute("UPDATE state_flags SET state = x'39'")
    connection.close()
    (tmp_path / "scratch").mkdir()
    cover = _copied(folder, tmp_path / "scratch", NOON)
    _write(tmp_path / "damaged.backup", folder, tmp_path / "scratch", cover)

    with pytest.raises(RecordError, match="cannot be restored: what is kept of flags"):
        restore(tmp_path / "damaged.backup", folder, FOLDS, envelope, RESTORING)
    assert not (folder.parent / ".replaced").exists()


def test_another_sites_backup_is_never_restored_here(folder, envelope, tmp_path):
    other = new_site(tmp_path / "sites" / "quillbeck", UUID(int=7))
    write(other, 1, moved("TW28C"))
    (other / "keys" / "recipients").mkdir()
    public = (folder / "keys" / "backup.pub").read_text()
    (other / "keys" / "recipients" / "harrowmint.pub").write_text(public)
    theirs = make(other, FOLDS, NOON, backup_key(other / "keys"))

    with pytest.raises(RecordError, match="another site"):
        restore(theirs.path, folder, FOLDS, envelope, replace(RESTORING, replace=True))


def test_a_site_that_another_program_has_open_is_left_alone(backup, folder, envelope):
    open_elsewhere = DbLedger(folder, FOLDS)

    with pytest.raises(BusyError, match="has the site open"):
        restore(backup.path, folder, FOLDS, envelope, RESTORING)
    with open_elsewhere.view() as view:
        assert view.head.seq == 2
    open_elsewhere.close()


@pytest.mark.parametrize("missing", [{"by": " "}, {"why": ""}], ids=["nobody", "no reason"])
def test_a_restore_needs_a_name_and_a_reason(backup, folder, envelope, missing):
    with pytest.raises(RecordError, match="who restores, and why"):
        restore(backup.path, folder, FOLDS, envelope, replace(RESTORING, **missing))


def test_the_key_that_opens_a_backup_is_not_in_it(backup, folder, tmp_path):
    with unpacked(backup.path, backup_key(folder / "keys"), tmp_path) as (held, _):
        names = sorted(path.name for path in (held / "keys").iterdir())

    assert names == ["backup.pub", "identity.key", "site.key", "site.pub"]
