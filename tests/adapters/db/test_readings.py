"""Readings on disk: synced, never taken for somebody else's file, and damage is named."""

from hashlib import sha256

import apsw
import pytest

from thawline.adapters.db import connections
from thawline.adapters.db.readings import FILES, READINGS, DbReadings
from thawline.base.errors import RecordError
from thawline.store.readings import readings

FILE = b"what the logger wrote"
NAMED = sha256(FILE).hexdigest()
SEEN = readings(range(0, 300_000, 300), [5000] * 1000)


@pytest.fixture
def kept(tmp_path):
    return tmp_path, DbReadings(tmp_path).keep(SEEN, NAMED, [FILE])


def test_every_commit_is_synced_before_it_is_answered(tmp_path, monkeypatch):
    opened = []

    def noted(path, **more):
        connection = new(path, **more)
        asked = ("synchronous", "journal_mode")
        opened.append(tuple(connection.pragma(each) for each in asked))
        return connection

    new = connections.new
    monkeypatch.setattr(connections, "new", noted)
    DbReadings(tmp_path).keep(SEEN, NAMED, [FILE])

    full = 2  # SQLite documentation, PRAGMA synchronous: 0 off, 1 normal, 2 full, 3 extra
    assert opened == [(full, "wal")]


def test_the_file_lies_under_its_own_digest_for_its_owner_only(kept):
    folder, _ = kept
    path = folder / FILES / NAMED

    assert path.read_bytes() == FILE
    assert (path.stat().st_mode & 0o077, (folder / READINGS).stat().st_mode & 0o077) == (0, 0)
    assert [each.name for each in (folder / FILES).iterdir()] == [NAMED]


def test_a_site_that_never_read_a_file_has_no_readings(tmp_path):
    with pytest.raises(RecordError, match="are not there"):
        DbReadings(tmp_path).get("0" * 64)
    assert not (tmp_path / READINGS).exists()


def test_a_cut_while_the_file_was_made_leaves_one_that_can_be_filled(tmp_path):
    (tmp_path / READINGS).touch()
    store = DbReadings(tmp_path)
    with pytest.raises(RecordError, match="are not there"):
        store.get("0" * 64)

    assert len(store.get(store.keep(SEEN, NAMED, [FILE]))) == 1000


def test_another_programs_file_is_left_alone(tmp_path):
    other = apsw.Connection(str(tmp_path / READINGS))
    other.execute("CREATE TABLE other (x)")
    other.close()

    with pytest.raises(RecordError, match="does not hold readings"):
        DbReadings(tmp_path).keep(SEEN, NAMED, [FILE])


def test_readings_that_were_changed_are_named(kept):
    folder, digest = kept
    connection = connections.writer(folder / READINGS)
    connection.execute("UPDATE piece SET packed = (SELECT zeroblob(9))")
    connection.close()

    (fault,) = DbReadings(folder).faults(digest, NAMED)
    assert "are not those that were recorded" in fault


def test_a_file_that_was_changed_or_taken_away_is_named(kept):
    folder, digest = kept
    path = folder / FILES / NAMED
    path.write_bytes(b"something else")
    changed = list(DbReadings(folder).faults(digest, NAMED))
    path.unlink()

    assert "is not as it came" in changed[0]
    assert "as it came is not there" in next(DbReadings(folder).faults(digest, NAMED))


def test_a_half_written_file_is_written_again(kept):
    folder, _ = kept
    (folder / FILES / NAMED).write_bytes(FILE[:5])

    DbReadings(folder).keep(SEEN, NAMED, [FILE])

    assert (folder / FILES / NAMED).read_bytes() == FILE
