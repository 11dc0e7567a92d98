"""
What every ledger does, be it the one in memory or the one on disk.

The people and vials are those of the demo's district; all of it is invented.
"""

from datetime import timedelta
from uuid import UUID

import pytest
from tests.acts import (
    FLAGS,
    HELD,
    NOON,
    WHERE,
    Seen,
    act,
    corrects,
    instead,
    moved,
    refuses,
    says,
)
from tests.fakes import SITE, FakeLedger

from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.schema import create
from thawline.adapters.db.writer import GroupWriter
from thawline.adapters.remembered import RememberingLedger
from thawline.base.errors import RecordError, RefusedError, ReusedIdError, SecondPersonError
from thawline.base.findings import Level
from thawline.base.instants import exactly
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import Noted, VialPunctured


@pytest.fixture(params=["in memory", "on disk", "on disk, in groups", "remembered"])
def ledger(request, tmp_path):
    if request.param == "in memory":
        yield FakeLedger((WHERE, FLAGS))
        return
    create(tmp_path, SITE)
    kept = DbLedger(tmp_path, (WHERE, FLAGS))
    if request.param in {"on disk", "remembered"}:
        yield kept if request.param == "on disk" else RememberingLedger(kept)
    else:
        writer = GroupWriter(kept)
        yield writer
        writer.close()
    kept.close()


def state(ledger, key, fold=WHERE):
    with ledger.view() as view:
        return view.one(fold, key)


def test_an_empty_ledger_has_a_head_of_zeros(ledger):
    with ledger.view() as view:
        assert (view.head.epoch, view.head.seq, view.head.hash) == (1, 0, bytes(32))


def test_an_act_is_answered_with_its_place_and_is_read_back(ledger):
    receipt = ledger.record(act(1), says(moved("HK47M"), HELD))

    with ledger.view() as view:
        entry = view.entry(UUID(int=1))
        assert (receipt.seq, receipt.hash, receipt.findings) == (
            1,
            view.head.hash.hex(),
            (HELD,),
        )
    assert entry.event == moved("HK47M")
    assert (entry.by, entry.device, entry.station) == ("pat", "tablet-2", "draw-1")
    assert (entry.occurred, entry.recorded_at) == (act(1).occurred, act(1).recorded_at)
    assert (entry.findings, entry.zone, entry.corrected_by) == (
        (HELD,),
        "America/Chicago",
        None,
    )


def test_what_is_unknown_is_none_or_nothing(ledger):
    with ledger.view() as view:
        assert view.entry(UUID(int=9)) is None
        assert view.one(WHERE, "HK47M") is None
        assert view.history(WHERE, "HK47M") == []
        assert list(view.all(WHERE)) == []


def test_states_follow_each_entry(ledger):
    ledger.record(act(1), says(moved("HK47M", "CM62T")))
    ledger.record(act(2), says(moved("HK47M", to="table")))

    with ledger.view() as view:
        assert dict(view.all(WHERE)) == {
            "CM62T": Seen(("fridge",), (1,)),
            "HK47M": Seen(("fridge", "table"), (1, 2)),
        }
        assert view.one(FLAGS, "HK47M") == 2


def test_deciding_sees_everything_written_before(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    seen = []

    ledger.record(
        act(2), lambda view: seen.append(view.one(WHERE, "HK47M")) or Decision(moved())
    )

    assert seen == [Seen(("fridge",), (1,))]


def test_a_view_sees_nothing_written_later(ledger):
    ledger.record(act(1), says(moved("HK47M")))

    with ledger.view() as view:
        assert view.head.seq == 1
        ledger.record(act(2), says(moved("HK47M", to="table")))
        assert view.head.seq == 1
        assert view.one(WHERE, "HK47M") == Seen(("fridge",), (1,))


def test_a_view_stands_at_the_moment_it_was_asked_for_even_if_read_later(ledger):
    with ledger.view() as view:
        ledger.record(act(1), says(moved("HK47M")))

        assert view.head.seq == 0
        assert list(view.all(WHERE)) == []


def test_entries_come_oldest_first_and_from_where_one_asks(ledger):
    for number in range(1, 6):
        ledger.record(act(number), says(Noted(says=f"remark {number}")))

    with ledger.view() as view:
        assert [entry.seq for entry in view.entries()] == [1, 2, 3, 4, 5]
        assert [entry.seq for entry in view.entries(since=2, most=2)] == [3, 4]


def test_an_act_asked_twice_gets_the_same_receipt_and_is_written_once(ledger):
    first = ledger.record(act(1), says(moved("HK47M")))
    second = ledger.record(act(1), says(moved("HK47M")))

    assert second == first
    assert (first.again, second.again) == (False, True)
    assert second.event == moved("HK47M")
    assert state(ledger, "HK47M") == Seen(("fridge",), (1,))


def test_transport_is_no_part_of_what_was_asked(ledger):
    first = ledger.record(act(1), says(moved("HK47M")))

    later = act(1, device="tablet-9", station="draw-2", recorded_at=NOON + timedelta(days=2))

    assert ledger.record(later, says(moved("HK47M"))) == first


@pytest.mark.parametrize(
    "changes",
    [
        {"command": {"verb": "vial to", "number": 2}},
        {"by": "rowan"},
        {"kind": Kind.COMMAND},
        {"occurred": exactly(NOON)},
    ],
    ids=["another command", "another person", "another kind", "another time"],
)
def test_a_used_id_with_other_words_is_not_taken(ledger, changes):
    ledger.record(act(1), says(moved("HK47M")))

    with pytest.raises(ReusedIdError, match="00000000-0000-0000-0000-000000000001"):
        ledger.record(act(1, **changes), says(moved("CM62T")))
    assert state(ledger, "CM62T") is None


def test_a_refusal_is_kept_and_given_again_even_when_the_rules_would_now_allow_it(ledger):
    asked = act(1, kind=Kind.COMMAND)
    with pytest.raises(RefusedError):
        ledger.record(asked, refuses)

    with pytest.raises(RefusedError, match="HK47M is held") as again:
        ledger.record(asked, says(moved("HK47M")))

    assert (again.value.findings, again.value.advice) == ((HELD,), "thawline vial next")
    with ledger.view() as view:
        assert view.head.seq == 1
        assert view.entry(asked.id).kind is Kind.REFUSAL
    assert state(ledger, "HK47M") is None


def test_a_missing_second_person_stays_that_sort_of_refusal(ledger):
    def wants_two(_view):
        raise SecondPersonError([HELD])

    for _ in range(2):
        with pytest.raises(SecondPersonError):
            ledger.record(act(1, kind=Kind.COMMAND), wants_two)


def test_an_act_that_goes_wrong_leaves_nothing_behind(ledger):
    def breaks(_view):
        raise RecordError("no such lot: 'ZZ-9999'")

    with pytest.raises(RecordError, match="ZZ-9999"):
        ledger.record(act(1), breaks)

    assert ledger.record(act(1), says(moved("HK47M"))).seq == 1


def test_a_clock_that_went_back_a_little_keeps_the_order(ledger):
    ledger.record(act(1), says(moved("HK47M")))

    receipt = ledger.record(
        act(2, recorded_at=act(1).recorded_at - timedelta(seconds=5)), says(moved())
    )

    with ledger.view() as view:
        entry = view.entry(UUID(int=2))
    assert entry.recorded_at == act(1).recorded_at + timedelta(milliseconds=1)
    assert receipt.findings == ()


def test_a_clock_that_went_back_further_is_told_to_be_set(ledger):
    ledger.record(act(1), says(moved("HK47M")))

    early = act(1).recorded_at - timedelta(milliseconds=5001)
    receipt = ledger.record(act(2, recorded_at=early), says(moved()))

    assert [(f.level, f.code) for f in receipt.findings] == [(Level.ACT, "clock-behind")]


def test_text_is_kept_in_composed_form(ledger):
    receipt = ledger.record(act(1), says(Noted(says="Vele\u0301ny")))

    assert receipt.event == Noted(says="Vel\u00e9ny")


def test_a_correction_counts_at_the_place_of_the_wrong_entry(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(moved("HK47M", "CM62T", to="table")))
    ledger.record(act(3), says(moved("CM62T", to="fridge")))

    right = moved("CM62T", "RA93P", to="table")
    ledger.record(act(4), says(corrects(2, **instead(right))))

    assert state(ledger, "HK47M") == Seen(("fridge",), (1,))
    assert state(ledger, "CM62T") == Seen(("table", "fridge"), (2, 3))
    assert state(ledger, "RA93P") == Seen(("table",), (2,))


def test_a_corrected_entry_is_still_shown_as_it_was_written(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(corrects(1, **instead(moved("RA93P")))))

    with ledger.view() as view:
        wrong = view.entry(UUID(int=1))
        histories = [[e.seq for e in view.history(WHERE, key)] for key in ("HK47M", "RA93P")]
    assert (wrong.event, wrong.corrected_by) == (moved("HK47M"), 2)
    assert histories == [[1], [1]]


def test_an_entry_that_was_undone_counts_as_not_having_happened(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(moved("HK47M", to="table")))

    ledger.record(act(3), says(corrects(1, undo=True)))
    assert state(ledger, "HK47M") == Seen(("table",), (2,))

    ledger.record(act(4), says(corrects(2, undo=True)))
    assert state(ledger, "HK47M") is None


def test_the_newest_correction_of_an_entry_counts(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(corrects(1, **instead(moved("CM62T")))))
    ledger.record(act(3), says(corrects(1, **instead(moved("RA93P")))))

    assert state(ledger, "CM62T") is None
    assert state(ledger, "RA93P") == Seen(("fridge",), (1,))


def test_undoing_a_correction_brings_back_what_it_had_put_aside(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(corrects(1, **instead(moved("CM62T")))))
    ledger.record(act(3), says(corrects(2, undo=True)))

    assert state(ledger, "HK47M") == Seen(("fridge",), (1,))
    assert state(ledger, "CM62T") is None


def test_a_correction_may_itself_be_corrected(ledger):
    ledger.record(act(1), says(moved("HK47M")))
    ledger.record(act(2), says(moved("TW28C", to="table")))
    ledger.record(act(3), says(corrects(1, **instead(moved("CM62T")))))
    ledger.record(act(4), says(corrects(3, **instead(corrects(2, undo=True)))))

    assert state(ledger, "HK47M") == Seen(("fridge",), (1,))
    assert state(ledger, "CM62T") is None
    assert state(ledger, "TW28C") is None


def test_a_corrected_time_reaches_the_folds(ledger):
    ledger.record(act(1), says(VialPunctured(vial="HK47M")))
    earlier = 1_770_141_600_000  # 2026-02-03 12:00 at -06:00
    ledger.record(
        act(2),
        says(
            corrects(
                1,
                **instead(VialPunctured(vial="HK47M")),
                occurred_lo_ms=earlier,
                occurred_hi_ms=earlier,
            )
        ),
    )
    assert state(ledger, "HK47M", FLAGS) == 1


@pytest.mark.parametrize(
    ("event", "says_why"),
    [
        (corrects(7, undo=True), "no entry to correct"),
        (corrects(1, replacement_type="VialLost", replacement_body="{}"), "unknown event"),
        (corrects(1, replacement_type="VialPunctured", replacement_body="{}"), "body of"),
        (corrects(1, **instead(corrects(1, undo=True))), "cannot count as Corrected"),
    ],
    ids=["no such entry", "no such event", "no such body", "a move as a correction"],
)
def test_a_correction_that_makes_no_sense_is_not_written(ledger, event, says_why):
    ledger.record(act(1), says(moved("HK47M")))

    with pytest.raises(RecordError, match=says_why):
        ledger.record(act(2), says(event))
    assert state(ledger, "HK47M") == Seen(("fridge",), (1,))


def test_a_refusal_cannot_be_corrected(ledger):
    with pytest.raises(RefusedError):
        ledger.record(act(1, kind=Kind.COMMAND), refuses)

    with pytest.raises(RecordError, match="changed nothing"):
        ledger.record(act(2), says(corrects(1, undo=True)))
