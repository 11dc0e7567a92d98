"""Many who write at once: one thread for all of them, each answered once it is on the disk."""

from concurrent.futures import ThreadPoolExecutor
from random import Random
from threading import Event

import pytest
from tests.acts import FLAGS, WHERE, act, moved, refuses, says
from tests.fakes import SITE

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import create
from thawline.adapters.db.writer import GroupWriter
from thawline.base.errors import BusyError, RecordError, RefusedError, ReusedIdError
from thawline.ledger.entries import Kind, Receipt
from thawline.ledger.events import VialMoved

FOLDS = (WHERE, FLAGS)


@pytest.fixture
def ledger(tmp_path):
    create(tmp_path, SITE)
    kept = DbLedger(tmp_path, FOLDS)
    yield kept
    kept.close()


@pytest.fixture
def writer(ledger):
    group = GroupWriter(ledger)
    yield group
    group.close()


def entries(ledger):
    with ledger.view() as view:
        return [entry.id.int for entry in view.entries()]


def test_ten_thousand_submissions_of_a_hundred_ids_are_a_hundred_entries(ledger, writer):
    numbers = [number for number in range(1, 101) for _ in range(100)]
    Random(28).shuffle(numbers)  # noqa: S311 - the same order each time

    with ThreadPoolExecutor(50) as tablets:
        receipts = list(
            tablets.map(lambda n: writer.record(act(n), says(moved("HK47M"))), numbers)
        )

    assert sorted(entries(ledger)) == list(range(1, 101))
    assert sum(not receipt.again for receipt in receipts) == 100
    assert len({(receipt.id, receipt.seq, receipt.hash) for receipt in receipts}) == 100
    assert ledger.verify(None).findings == ()


def test_an_act_that_goes_wrong_takes_no_other_with_it(ledger):
    def breaks(_view):
        raise RecordError("no such lot: 'ZZ-9999'")

    outcomes = ledger.record_all(
        [
            (act(1), says(moved("HK47M"))),
            (act(2), breaks),
            (act(1), says(moved("HK47M"))),
            (act(3, kind=Kind.COMMAND), refuses),
            (act(1, by="rowan"), says(moved("HK47M"))),
            (act(4), says(moved("HK47M", to="table"))),
        ]
    )

    kinds = [type(outcome).__name__ for outcome in outcomes]
    assert kinds == [
        *("Receipt", "RecordError", "Receipt", "RefusedError", "ReusedIdError", "Receipt")
    ]
    assert entries(ledger) == [1, 3, 4]
    assert ledger.verify(None).findings == ()


def test_a_later_act_of_a_group_sees_the_earlier_one(ledger):
    seen = []

    def looks(view):
        seen.append(view.one(FLAGS, "HK47M"))
        return says(moved("HK47M"))(view)

    ledger.record_all([(act(number), looks) for number in (1, 2, 3)])

    assert seen == [None, 1, 2]


class Picky:
    """A fold that cannot make sense of a vial on the floor."""

    name = "picky"
    state_type = int
    kinds = frozenset({VialMoved})

    def keys(self, event):  # noqa: D102
        return event.vials

    def step(self, key, state, entry):  # noqa: ARG002, D102
        if entry.event.to == "floor":
            raise RecordError("a vial on the floor")
        return 1


def test_what_an_act_had_changed_before_it_went_wrong_is_forgotten(tmp_path):
    create(tmp_path, SITE)
    ledger = DbLedger(tmp_path, (FLAGS, Picky()))

    outcomes = ledger.record_all(
        [
            (act(1), says(moved("HK47M"))),
            (act(2), says(moved("HK47M", to="floor"))),
            (act(3), says(moved("HK47M"))),
        ]
    )

    assert [type(outcome) for outcome in outcomes] == [Receipt, RecordError, Receipt]
    with ledger.view() as view:
        assert view.one(FLAGS, "HK47M") == 2
    assert ledger.verify(None).findings == ()
    ledger.close()


def test_each_who_asks_gets_their_own_error(writer):
    with pytest.raises(RefusedError):
        writer.record(act(1, kind=Kind.COMMAND), refuses)
    writer.record(act(2), says(moved("HK47M")))
    with pytest.raises(ReusedIdError):
        writer.record(act(2, by="rowan"), says(moved("HK47M")))


def test_when_too_many_wait_the_next_is_turned_away_with_nothing_recorded(ledger):
    started, go_on = Event(), Event()
    writer = GroupWriter(ledger, waiting_at_most=2)

    def slow(view):
        started.set()
        go_on.wait(30)
        return says(moved("HK47M"))(view)

    with ThreadPoolExecutor(3) as tablets:
        first = tablets.submit(writer.record, act(1), slow)
        assert started.wait(30)
        for number in (2, 3):
            tablets.submit(writer.record, act(number), says(moved("HK47M")))
        while writer._asked.qsize() < 2:
            pass
        with pytest.raises(BusyError, match="2 acts wait"):
            writer.record(act(4), says(moved("HK47M")))
        go_on.set()
        assert first.result().seq == 1
    writer.close()

    assert sorted(entries(ledger)) == [1, 2, 3]


def test_what_waits_is_written_before_the_writer_ends(ledger):
    writer = GroupWriter(ledger)
    with ThreadPoolExecutor(20) as tablets:
        for number in range(1, 21):
            tablets.submit(writer.record, act(number), says(moved("HK47M")))
    writer.close()

    assert sorted(entries(ledger)) == list(range(1, 21))
    with pytest.raises(BusyError, match="has ended"):
        writer.record(act(21), says(moved("HK47M")))


def test_two_ledgers_on_one_site_take_turns(tmp_path):
    create(tmp_path, SITE)
    first, second = DbLedger(tmp_path, FOLDS), DbLedger(tmp_path, FOLDS)

    def writes(ledger, numbers):
        for number in numbers:
            ledger.record(act(number), says(moved("HK47M")))

    with ThreadPoolExecutor(2) as both:
        waiting = [
            both.submit(writes, first, range(1, 101)),
            both.submit(writes, second, range(101, 201)),
        ]
        for each in waiting:
            each.result()

    assert sorted(entries(first)) == list(range(1, 201))
    assert first.verify(None).findings == ()
    with second.view() as view:
        assert view.one(FLAGS, "HK47M") == 200
    first.close()
    second.close()
