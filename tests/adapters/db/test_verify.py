"""Whatever is changed in a ledger's file is found, and where."""

from uuid import UUID

import apsw
import pytest
from tests.acts import FLAGS, HELD, WHERE, act, corrects, instead, moved, refuses, says
from tests.fakes import SITE

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.adapters.keys import make_keys, site_checker, site_key
from thawline.base.errors import RefusedError
from thawline.ledger.entries import Kind
from thawline.ledger.events import Noted

FOLDS = (WHERE, FLAGS)


@pytest.fixture
def keys(tmp_path):
    make_keys(tmp_path / "keys")
    return tmp_path / "keys"


@pytest.fixture
def ledger(tmp_path, keys):
    create(tmp_path, SITE)
    kept = DbLedger(tmp_path, FOLDS, signer=site_key(keys).sign)
    kept.record(act(1), says(moved("HK47M", "CM62T")))
    kept.record(act(2), says(moved("HK47M", to="table"), HELD))
    with pytest.raises(RefusedError):
        kept.record(act(3, kind=Kind.COMMAND), refuses)
    kept.record(act(4), says(corrects(2, **instead(moved("CM62T", to="table")))))
    kept.record(act(5), says(Noted(says="flag of HK47M stuck on")))
    kept.sign_head()
    yield kept
    kept.close()


def codes(ledger, keys):
    return [finding.code for finding in ledger.verify(site_checker(keys)).findings]


def changed(folder, sql, *values):
    """Change the file the way somebody would who holds it: triggers put aside first."""
    connection = apsw.Connection(str(folder / LEDGER))
    kept = list(
        connection.execute("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
    )
    for name, _ in kept:
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute(sql, values)
    for _, made in kept:
        connection.execute(made)
    connection.close()


def test_a_ledger_as_it_was_written_gives_no_finding(ledger, keys):
    verified = ledger.verify(site_checker(keys))

    assert verified.findings == ()
    assert (verified.entries, verified.head.seq) == (5, 5)
    assert (verified.signed_heads, verified.signed_upto) == (1, 5)


@pytest.mark.parametrize(
    ("sql", "code"),
    [
        ("UPDATE event SET body = x'7b7d' WHERE seq = 1", "ledger-changed"),
        ("UPDATE event SET header = x'7b7d' WHERE seq = 2", "ledger-changed"),
        ("UPDATE event SET body_sha256 = zeroblob(32) WHERE seq = 1", "ledger-changed"),
        ("UPDATE event SET hash = zeroblob(32) WHERE seq = 5", "ledger-changed"),
        ("UPDATE event SET prev = zeroblob(32) WHERE seq = 3", "ledger-changed"),
        ("UPDATE event SET epoch = 2 WHERE seq = 3", "ledger-changed"),
        ("UPDATE event SET event_id = zeroblob(16) WHERE seq = 3", "ledger-unreadable"),
        ("UPDATE site SET site_id = zeroblob(16)", "ledger-changed"),
        ("DELETE FROM event WHERE seq = 3", "ledger-gap"),
        ("UPDATE receipt SET answer = zeroblob(9) WHERE seq = 2", "ledger-receipt"),
        ("UPDATE receipt SET fingerprint = zeroblob(32) WHERE seq = 2", "ledger-receipt"),
        ("DELETE FROM receipt WHERE seq = 5", "ledger-receipt"),
        ("INSERT INTO receipt VALUES (zeroblob(16), 6, x'00', x'00')", "ledger-receipt"),
        ("DELETE FROM correction", "ledger-correction"),
        ("INSERT INTO correction VALUES (5)", "ledger-correction"),
        ("UPDATE head SET signature = zeroblob(64)", "ledger-head"),
        ("UPDATE state_whereabouts SET state = x'5b5d' WHERE key = 'HK47M'", "ledger-state"),
        ("DELETE FROM state_flags WHERE key = 'CM62T'", "ledger-state"),
        ("INSERT INTO state_flags VALUES ('TW28C', x'31')", "ledger-state"),
        ("UPDATE touch_flags SET counts = 1", "ledger-touch"),
        ("DELETE FROM touch_flags WHERE seq = 2 AND key = 'CM62T'", "ledger-touch"),
        ("INSERT INTO touch_flags VALUES ('ZZ', 5, 1)", "ledger-touch"),
        ("UPDATE folded SET upto = 4 WHERE fold = 'flags'", "ledger-states"),
        ("CREATE TABLE more (what TEXT)", "ledger-schema"),
    ],
)  # fmt: skip
def test_each_change_of_the_file_is_found(ledger, keys, tmp_path, sql, code):
    changed(tmp_path, sql)

    assert code in codes(ledger, keys)


def test_a_missing_trigger_is_found(ledger, keys, tmp_path):
    connection = apsw.Connection(str(tmp_path / LEDGER))
    connection.execute("DROP TRIGGER event_stays")
    connection.close()

    assert codes(ledger, keys) == ["ledger-schema"]


def test_the_finding_names_the_entry_that_was_changed(ledger, keys, tmp_path):
    changed(tmp_path, "UPDATE event SET body = x'7b7d' WHERE seq = 2")

    says_first = ledger.verify(site_checker(keys)).findings[0].says

    assert says_first == "entry 2 is not as it was written"


def test_a_state_that_was_changed_is_named_with_its_last_entry(ledger, keys, tmp_path):
    changed(tmp_path, "UPDATE state_flags SET state = x'39' WHERE key = 'CM62T'")

    (finding,) = ledger.verify(site_checker(keys)).findings

    assert finding.says == (
        "what is kept of flags CM62T is not what its entries say; the last is entry 2"
    )


def test_two_entries_that_changed_places_are_found(ledger, keys, tmp_path):
    for old, new in ((1, 9), (2, 1), (9, 2)):
        changed(tmp_path, "UPDATE event SET seq = ? WHERE seq = ?", new, old)

    assert "ledger-changed" in codes(ledger, keys)


@pytest.mark.usefixtures("ledger")
def test_a_ledger_written_anew_from_end_to_end_is_found_by_its_signed_head(keys, tmp_path):
    (tmp_path / "other").mkdir()
    create(tmp_path / "other", SITE)
    forged = DbLedger(tmp_path / "other", FOLDS)
    for number in range(1, 6):
        forged.record(act(number), says(moved("HK47M")))
    forged.close()
    connection = apsw.Connection(str(tmp_path / "other" / LEDGER))
    connection.execute("ATTACH ? AS genuine", (str(tmp_path / LEDGER),))
    connection.execute("INSERT INTO main.head SELECT * FROM genuine.head")
    connection.close()

    assert codes(DbLedger(tmp_path / "other", FOLDS), keys) == ["ledger-head"]


def test_heads_are_signed_of_themselves_every_256_entries(tmp_path, keys):
    create(tmp_path, SITE)
    kept = DbLedger(tmp_path, (), signer=site_key(keys).sign)
    for start in (1, 65, 129, 193, 257, 321, 385, 449, 513):
        numbers = range(start, start + 64)
        kept.record_all([(act(number), says(Noted(says="remark"))) for number in numbers])

    verified = kept.verify(site_checker(keys))

    assert (verified.signed_heads, verified.signed_upto, verified.findings) == (2, 512, ())
    kept.close()


def test_signing_a_head_twice_or_of_nothing_adds_nothing(ledger, keys, tmp_path):
    assert ledger.sign_head().seq == 5
    assert ledger.verify(site_checker(keys)).signed_heads == 1

    (tmp_path / "empty").mkdir()
    create(tmp_path / "empty", UUID(int=2))
    empty = DbLedger(tmp_path / "empty", FOLDS, signer=site_key(keys).sign)

    assert empty.sign_head() is None
    empty.close()


def test_what_was_signed_says_how_many_entries_of_each_kind_there_were(ledger):
    assert ledger.sign_head().counts == {"fact": 4, "refusal": 1}


@pytest.mark.usefixtures("ledger")
@pytest.mark.parametrize("sql", ["UPDATE event SET epoch = 9", "DELETE FROM event"])
def test_entries_can_be_neither_changed_nor_deleted(tmp_path, sql):
    connection = apsw.Connection(str(tmp_path / LEDGER))

    with pytest.raises(apsw.Error, match="entry is never"):
        connection.execute(sql)
    connection.close()
