"""
A disk that fails, once or for good, at every operation that writing makes.

Whatever fails, nobody is told "recorded" of what is not there, nobody is told "nothing was
recorded" of what is, and asking again with the same id after a fresh start settles it.
"""

from random import Random

import apsw
import pytest
from tests.acts import FLAGS, WHERE, act, moved, says
from tests.fakes import SITE
from tests.harness.disks import FailingDisk, Plan, RecordingDisk, after_the_cut

from thawline.adapters.db.ledger import DbLedger, ask_again
from thawline.adapters.db.pen import SUSPECT
from thawline.adapters.db.schema import LEDGER, create
from thawline.base.errors import BusyError, IndeterminateError, RecordError, ThawlineError
from thawline.base.instants import Occurred

FOLDS = (WHERE, FLAGS)
ACTS = range(1, 4)
KINDS = [("write", apsw.IOError), ("sync", apsw.IOError), ("truncate", apsw.IOError),
         ("read", apsw.IOError), ("write", apsw.FullError)]  # fmt: skip


@pytest.fixture
def disk():
    made = FailingDisk()
    yield made
    made.unregister()


@pytest.fixture
def folder(tmp_path):
    create(tmp_path, SITE)
    return tmp_path


def write_all(ledger):
    """Write every act, going on after errors; return what each was told."""
    told = {}
    for number in ACTS:
        try:
            told[number] = ledger.record(act(number), says(moved("HK47M")))
        except ThawlineError as error:
            told[number] = error
    return told


def opened_on(disk, folder):
    ledger = DbLedger(folder, FOLDS, vfs=disk.name)
    ledger.pages_before_copy = 20
    return ledger


def found(folder):
    ledger = DbLedger(folder, FOLDS)
    with ledger.view() as view:
        numbers = {entry.id.int for entry in view.entries()}
    ledger.close()
    return numbers


def tried(disk, folder, plan):
    """Write while the plan strikes, then with a good disk; return what was told first."""
    ledger = opened_on(disk, folder)
    disk.plan = plan
    told = write_all(ledger)
    disk.plan = None
    ledger.close()
    return told


def nothing_is_wrong(folder, told):
    there = found(folder)
    receipts = {n for n, said in told.items() if not isinstance(said, Exception)}
    nothing = {n for n, said in told.items() if isinstance(said, BusyError)}
    assert receipts <= there
    assert not nothing & there
    again = DbLedger(folder, FOLDS)
    for number in ACTS:
        again.record(act(number), says(moved("HK47M")))
    findings = again.verify(None).findings
    again.close()
    assert findings == ()
    assert found(folder) == set(ACTS)


@pytest.mark.parametrize(
    "every", [pytest.param(1, marks=pytest.mark.powercuts), 5], ids=["each", "each fifth"]
)
@pytest.mark.parametrize("sticky", [False, True], ids=["once", "for good"])
@pytest.mark.parametrize(("kind", "error"), KINDS, ids=[f"{k} {e.__name__}" for k, e in KINDS])
def test_whichever_operation_fails_asking_again_settles_it(
    disk, tmp_path_factory, kind, error, sticky, every
):  # fmt: skip
    for number in range(1, 500, every):
        folder = tmp_path_factory.mktemp("site")
        create(folder, SITE)
        plan = Plan(kind, number, error, sticky=sticky)
        told = tried(disk, folder, plan)
        nothing_is_wrong(folder, told)
        if not plan.struck:
            break
    assert not plan.struck, "the loop ended before a run was free of errors"
    assert not any(isinstance(said, Exception) for said in told.values())


def test_after_a_failed_sync_nothing_more_is_written_until_a_fresh_start(disk, folder):
    ledger = opened_on(disk, folder)
    disk.plan = Plan("sync", 1)

    with pytest.raises(IndeterminateError, match="not known whether it was recorded") as error:
        ledger.record(act(1), says(moved("HK47M")))
    with pytest.raises(BusyError, match="writing stopped after a disk error"):
        ledger.record(act(2), says(moved("HK47M")))

    assert error.value.advice == (
        "repeat the command with --id 00000000-0000-0000-0000-000000000001"
        " --at 2026-02-03T18:01:00+00:00"
    )
    assert (folder / SUSPECT).exists()
    ledger.close()


def test_asking_again_names_both_ends_of_a_time_that_is_not_known():
    asked = act(1, occurred=Occurred(act(1).occurred.lo, act(3).occurred.hi))

    assert ask_again(asked).endswith(
        "--at 2026-02-03T18:01:00+00:00 --until 2026-02-03T18:03:00+00:00"
    )


def test_a_fresh_start_after_a_failed_sync_writes_everything_anew_first(disk, folder):
    ledger = opened_on(disk, folder)
    disk.plan = Plan("sync", 1)
    with pytest.raises(IndeterminateError):
        ledger.record(act(1), says(moved("HK47M")))
    ledger.close()
    disk.plan = None

    fresh = DbLedger(folder, FOLDS)
    fresh.record(act(2), says(moved("HK47M")))

    assert not (folder / SUSPECT).exists()
    fresh.close()


@pytest.mark.parametrize("heeded", [True, False], ids=["heeded", "the mark taken away"])
def test_what_a_failed_sync_forgot_does_not_take_later_acts_with_it(folder, tmp_path, heeded):
    """Without the mark of the failed sync the later act is lost: the check can fail."""
    disk = RecordingDisk()
    before = {LEDGER: (folder / LEDGER).read_bytes()}
    ledger = DbLedger(folder, FOLDS, vfs=disk.name)
    ledger.record(act(1), says(moved("HK47M")))
    disk.next_sync_fails = True
    with pytest.raises(IndeterminateError):
        ledger.record(act(2), says(moved("HK47M")))
    ledger.close()
    if not heeded:
        (folder / SUSPECT).unlink()

    fresh = DbLedger(folder, FOLDS, vfs=disk.name)
    fresh.record(act(3), says(moved("HK47M")))
    left = after_the_cut(before, disk.happened, Random(1))  # noqa: S311
    fresh.close()
    disk.unregister()

    (tmp_path / "after").mkdir()
    for name, held in left.items():
        (tmp_path / "after" / name).write_bytes(held)
    assert (3 in found(tmp_path / "after")) is heeded


def test_a_full_disk_says_that_nothing_was_recorded_and_reading_goes_on(disk, folder):
    ledger = opened_on(disk, folder)
    ledger.record(act(1), says(moved("HK47M")))
    disk.plan = Plan("write", 1, apsw.FullError, sticky=True)

    with pytest.raises(BusyError, match="the disk is full; nothing was recorded"):
        ledger.record(act(2), says(moved("HK47M")))
    with ledger.view() as view:
        assert view.one(FLAGS, "HK47M") == 1

    disk.plan = None
    assert ledger.record(act(2), says(moved("HK47M"))).seq == 2
    ledger.close()


def test_a_disk_that_fails_while_the_log_is_copied_takes_no_receipt_back(disk, folder):
    ledger = opened_on(disk, folder)
    ledger.record(act(1), says(moved("HK47M")))
    ledger.pages_before_copy = 1
    disk.plan = Plan("sync", 2)  # the first one is the commit's own

    assert ledger.record(act(2), says(moved("HK47M"))).seq == 2
    with pytest.raises(BusyError, match="writing stopped"):
        ledger.record(act(3), says(moved("HK47M")))
    ledger.close()
    assert found(folder) == {1, 2}


def test_a_disk_that_is_full_while_the_log_is_copied_stops_nothing(disk, folder):
    ledger = opened_on(disk, folder)
    ledger.record(act(1), says(moved("HK47M")))
    commit = Plan("write", 10**9)
    disk.plan = commit
    ledger.record(act(2), says(moved("HK47M")))
    ledger.pages_before_copy = 1
    disk.plan = Plan("write", commit.done + 1, apsw.FullError)

    assert ledger.record(act(3), says(moved("HK47M"))).seq == 3
    assert disk.plan.struck
    assert ledger.record(act(4), says(moved("HK47M"))).seq == 4
    ledger.close()


def test_a_disk_that_cannot_be_read_says_so(disk, folder):
    ledger = opened_on(disk, folder)
    ledger.record(act(1), says(moved("HK47M")))
    disk.plan = Plan("read", 1, sticky=True)

    with pytest.raises(RecordError, match="cannot be read"):
        DbLedger(folder, FOLDS, vfs=disk.name)
    disk.plan = None
    ledger.close()
