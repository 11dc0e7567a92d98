"""What is looked at before a site is served, restored or told to be in order."""

from datetime import timedelta

import apsw
import pytest
from tests.acts import FLAGS, WHERE, act, moved, says
from tests.fakes import SITE

from thawline.adapters.db import connections, place
from thawline.adapters.db.gate import gate
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.base.errors import BusyError
from thawline.base.findings import Level

FOLDS = (WHERE, FLAGS)
AT = act(1).recorded_at


@pytest.fixture
def folder(tmp_path):
    create(tmp_path, SITE)
    ledger = DbLedger(tmp_path, FOLDS)
    ledger.record(act(1), says(moved("HK47M")))
    ledger.close()
    return tmp_path


@pytest.fixture
def mounts(tmp_path):
    file = tmp_path / "mounts"
    file.write_text(
        "/dev/vda / ext4 rw 0 0\nserver:/share /mnt/share nfs4 rw 0 0\n"
        "//pc/day /mnt/the\\040day cifs rw 0 0\n"
    )
    return file


def codes(findings):
    return [finding.code for finding in findings]


def test_a_site_in_order_gives_no_finding(folder):
    assert gate(folder, FOLDS, AT, None) == ()


def test_a_clock_before_the_last_entry_stops_everything(folder):
    findings = gate(folder, FOLDS, AT - timedelta(milliseconds=1), None)

    assert [(f.level, f.code) for f in findings] == [(Level.STOP, "clock-behind")]


def test_an_empty_ledger_has_no_last_entry_to_compare_the_clock_with(tmp_path):
    create(tmp_path, SITE)
    DbLedger(tmp_path, ()).close()

    assert gate(tmp_path, (), AT, None) == ()


def test_a_missing_ledger_is_a_finding(tmp_path):
    assert codes(gate(tmp_path, FOLDS, AT, None)) == ["ledger-missing"]


def test_damage_is_a_finding(folder):
    connection = apsw.Connection(str(folder / LEDGER))
    connection.execute("UPDATE state_flags SET state = x'39'")
    connection.close()

    assert codes(gate(folder, FOLDS, AT, None)) == ["ledger-state"]


def test_a_file_that_is_no_ledger_is_a_finding(folder):
    (folder / f"{LEDGER}-wal").unlink()
    (folder / LEDGER).write_bytes(b"not a database" * 100)

    assert set(codes(gate(folder, FOLDS, AT, None))) == {"ledger-unreadable"}


def test_an_sqlite_with_the_fault_is_not_used(folder, monkeypatch):
    monkeypatch.setattr(apsw, "sqlite_lib_version", lambda: "3.40.1")

    assert codes(gate(folder, FOLDS, AT, None)) == ["sqlite-version"]
    with pytest.raises(BusyError, match=r"3\.40\.1"):
        DbLedger(folder, FOLDS)


@pytest.mark.parametrize(
    ("version", "faulty"),
    [
        # SQLite release history: fixed in 3.51.3 (2026-03-13) and the backports 3.50.7 and
        # 3.44.6, as quoted in the design's reliability figures.
        ("3.7.0", True),
        ("3.40.1", True),
        ("3.44.5", True),
        ("3.44.6", False),
        ("3.45.0", True),
        ("3.50.6", True),
        ("3.50.7", False),
        ("3.51.2", True),
        ("3.51.3", False),
        ("3.53.4", False),
    ],
)
def test_versions_with_the_log_fault_are_told_from_those_without(version, faulty):
    assert connections.has_log_fault(version) is faulty


@pytest.mark.parametrize(
    ("free_mib", "code"),
    [(1024, []), (1023, ["disk-low"]), (250, ["disk-low"]), (249, ["disk-full"])],
)
def test_little_room_on_the_disk_is_said(free_mib, code):
    assert codes(place.room_findings(free_mib << 20)) == code


def test_a_network_share_is_told_from_a_disk(mounts, tmp_path):
    kinds = [place.file_system(tmp_path.__class__(at), mounts) for at in ("/", "/mnt/share/x")]

    assert kinds == ["ext4", "nfs4"]
    assert place.file_system(tmp_path.__class__("/mnt/the day/x"), mounts) == "cifs"


def test_where_mounts_are_not_listed_nobody_can_say(tmp_path):
    assert place.file_system(tmp_path, tmp_path / "none") is None


def test_a_site_on_a_network_share_is_stopped(tmp_path):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"server:/share {tmp_path} nfs rw 0 0\n")

    with pytest.raises(BusyError, match="network share"):
        place.refuse_network(tmp_path, mounts)
    assert codes(place.place_findings(tmp_path, mounts)) == ["network-share"]


def test_a_folder_that_is_copied_elsewhere_is_pointed_out(tmp_path, mounts):
    synced = tmp_path / "MyDrive" / "harrowmint"
    synced.mkdir(parents=True)

    assert codes(place.place_findings(synced, mounts)) == ["synced-folder"]
