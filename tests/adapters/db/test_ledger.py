"""What the ledger on disk does beyond its port: opening, folds that come later, settings."""

import apsw
import pytest
from msgspec import Struct
from tests.acts import FLAGS, WHERE, Seen, act, corrects, instead, moved, says
from tests.fakes import SITE

from thawline.adapters.db import connections
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import LEDGER, create
from thawline.base.errors import RecordError
from thawline.ledger.events import VialMoved


@pytest.fixture
def folder(tmp_path):
    create(tmp_path, SITE)
    return tmp_path


def write(folder, folds, *numbers):
    ledger = DbLedger(folder, folds)
    for number in numbers:
        ledger.record(act(number), says(moved("HK47M")))
    ledger.close()


def state(folder, fold, folds=None):
    ledger = DbLedger(folder, folds or (fold,))
    with ledger.view() as view:
        found = view.one(fold, "HK47M")
    ledger.close()
    return found


def changed(folder, sql):
    connection = apsw.Connection(str(folder / LEDGER))
    connection.execute(sql)
    connection.close()


def test_a_ledger_is_never_made_anew(folder):
    with pytest.raises(RecordError, match="is there already"):
        create(folder, SITE)


def test_a_missing_ledger_is_said(tmp_path):
    with pytest.raises(RecordError, match="cannot open"):
        DbLedger(tmp_path, ())


@pytest.mark.parametrize(
    ("sql", "says_what"),
    [
        ("PRAGMA application_id = 7", "is not a ledger"),
        ("PRAGMA user_version = 2", "has format 2, this thawline knows 1"),
    ],
)
def test_another_file_or_a_newer_format_is_not_taken_for_a_ledger(folder, sql, says_what):
    changed(folder, sql)

    with pytest.raises(RecordError, match=says_what):
        DbLedger(folder, ())


def test_every_commit_is_synced_and_nobody_copies_the_log_back_by_chance(folder):
    writer = connections.writer(folder / LEDGER)
    reader = connections.reader(folder / LEDGER)

    assert writer.pragma("journal_mode") == "wal"
    assert writer.pragma("synchronous") == 2  # FULL, as SQLite numbers it
    assert [each.pragma("wal_autocheckpoint") for each in (writer, reader)] == [0, 0]
    assert [each.pragma("foreign_keys") for each in (writer, reader)] == [1, 1]
    assert [each.pragma("trusted_schema") for each in (writer, reader)] == [0, 0]
    assert reader.pragma("query_only") == 1
    writer.close()
    reader.close()


def test_a_reader_cannot_write(folder):
    reader = connections.reader(folder / LEDGER)

    with pytest.raises(apsw.ReadOnlyError):
        reader.execute("DELETE FROM site")
    reader.close()


def test_a_fold_that_comes_later_is_folded_from_the_first_entry(folder):
    write(folder, (WHERE,), 1, 2)

    assert state(folder, FLAGS) == 2


def test_a_fold_that_was_away_takes_in_what_it_missed_with_corrections(folder):
    write(folder, (WHERE, FLAGS), 1, 2)
    ledger = DbLedger(folder, (WHERE,))
    ledger.record(act(3), says(moved("HK47M", to="table")))
    ledger.record(act(4), says(corrects(1, **instead(moved("CM62T")))))
    ledger.close()

    assert state(folder, FLAGS, (WHERE, FLAGS)) == 2
    again = DbLedger(folder, (WHERE, FLAGS))
    assert again.verify(None).findings == ()
    again.close()


class Other(Struct, frozen=True):
    """A state of another shape under the same name."""

    seen: int = 0
    more: str = ""


class Reshaped:
    """The fold `flags` as a later version might write it."""

    name = "flags"
    state_type = Other
    kinds = frozenset({VialMoved})

    def keys(self, event):  # noqa: D102
        return event.vials

    def step(self, key, state, entry):  # noqa: ARG002, D102
        return Other((state.seen if state else 0) + 1)


def test_states_of_another_shape_are_folded_anew(folder):
    write(folder, (FLAGS,), 1, 2)

    assert state(folder, Reshaped()) == Other(2)
    assert state(folder, FLAGS) == 2


@pytest.mark.parametrize("upto", ["NULL", 3], ids=["nothing", "an entry that is not there"])
def test_states_whose_number_is_damaged_are_folded_anew(folder, upto):
    """A torn write left such rows (`make powercuts`, without any sync)."""
    write(folder, (FLAGS,), 1, 2)
    for sql in (
        "CREATE TABLE kept AS SELECT * FROM folded",
        "DROP TABLE folded",
        "CREATE TABLE folded (fold TEXT PRIMARY KEY, shape TEXT, upto INTEGER) STRICT",
        f"INSERT INTO folded SELECT fold, shape, {upto} FROM kept",  # noqa: S608  this test's own
        "UPDATE state_flags SET state = CAST('9' AS BLOB)",
    ):
        changed(folder, sql)

    assert state(folder, FLAGS) == 2


def test_what_one_process_writes_another_sees(folder):
    first, second = DbLedger(folder, (WHERE,)), DbLedger(folder, (WHERE,))
    with second.view() as view:
        assert view.one(WHERE, "HK47M") is None

    first.record(act(1), says(moved("HK47M")))

    with second.view() as view:
        assert view.one(WHERE, "HK47M") == Seen(("fridge",), (1,))
    second.record(act(2), says(moved("HK47M", to="table")))
    with first.view() as view:
        assert view.one(WHERE, "HK47M").moves == ("fridge", "table")
    first.close()
    second.close()


def test_nothing_is_written_on_top_of_a_damaged_entry(folder):
    write(folder, (WHERE,), 1, 2)
    changed(folder, "DROP TRIGGER event_stays")
    changed(folder, "UPDATE event SET body = x'7b7d' WHERE seq = 2")
    ledger = DbLedger(folder, ())

    with pytest.raises(RecordError, match="the newest entry, 2, is not as it was written"):
        ledger.record(act(3), says(moved("HK47M")))
    ledger.close()


def test_an_entry_that_holds_what_none_holds_is_damage(folder):
    write(folder, (), 1)
    changed(folder, "PRAGMA ignore_check_constraints = ON; DROP TRIGGER event_stays")
    connection = apsw.Connection(str(folder / LEDGER))
    connection.execute("PRAGMA writable_schema = ON")
    connection.execute(
        "UPDATE sqlite_schema SET sql = replace(sql, ') STRICT', ')') WHERE name = 'event'"
    )
    connection.close()
    changed(folder, "UPDATE event SET body = 'text'")

    with pytest.raises(RecordError, match="entry 1 holds what no entry holds"):
        DbLedger(folder, (WHERE,)).record(act(2), says(moved("HK47M")))


def test_only_the_folds_that_were_given_can_be_asked(folder):
    ledger = DbLedger(folder, (WHERE,))

    with ledger.view() as view, pytest.raises(ValueError, match="no fold 'flags' is kept"):
        view.one(FLAGS, "HK47M")
    ledger.close()


class Misnamed(Reshaped):
    """A fold whose name cannot be that of a table."""

    name = "flags; DROP TABLE event"


def test_a_fold_is_named_in_small_letters(folder):
    ledger = DbLedger(folder, (Misnamed(),))

    with pytest.raises(ValueError, match="small letters"), ledger.view():
        pass
    ledger.close()


def test_a_head_is_not_signed_without_a_key(folder):
    ledger = DbLedger(folder, ())

    with pytest.raises(RecordError, match="no key to sign"):
        ledger.sign_head()
    ledger.close()


def test_a_very_long_log_is_cut_off_unless_somebody_still_reads_it(folder):
    ledger = DbLedger(folder, (WHERE,))
    ledger.pages_before_copy = 1
    with ledger.view() as view:
        ledger.record(act(1), says(moved("HK47M")))
        assert view.head.seq == 0
        assert (folder / f"{LEDGER}-wal").stat().st_size > 0

    ledger.record(act(2), says(moved("HK47M")))

    assert (folder / f"{LEDGER}-wal").stat().st_size == 0
    assert ledger.verify(None).findings == ()
    ledger.close()


def test_readers_are_used_again(folder):
    ledger = DbLedger(folder, ())
    for _ in range(5):
        with ledger.view():
            pass
    with ledger.view(), ledger.view():
        assert ledger._idle == []
    assert len(ledger._idle) == 2
    ledger.close()
    assert ledger._idle == []


def test_a_ledger_that_was_closed_can_be_used_again(folder):
    ledger = DbLedger(folder, (WHERE,))
    ledger.close()

    assert ledger.record(act(1), says(moved("HK47M"))).seq == 1
    ledger.close()
