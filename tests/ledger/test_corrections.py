"""What an entry counts as, told by tables; the ports' suite tells it by stories."""

from uuid import UUID

import pytest
from tests.acts import act, corrects, instead, moved
from tests.fakes import SITE

from thawline.base.errors import RecordError
from thawline.base.instants import Occurred, from_ms
from thawline.ledger.chain import NOTHING
from thawline.ledger.corrections import (
    Correction,
    check_correction,
    counted,
    marked,
    replacement,
    standing,
)
from thawline.ledger.entries import Decision
from thawline.ledger.events import Corrected, EpochBegan, VialPunctured
from thawline.ledger.stored import entry_of, next_row

RIGHT = moved("RA93P")


def seq_of(entry_id):
    """Entries of these tests have their number for an id; there are nine of them."""
    number = UUID(entry_id).int
    return number if number < 10 else None


def entry(event, seq=1):
    row = next_row(SITE, NOTHING, act(seq), Decision(event), "ab" * 32)
    return entry_of(row)


def undo(number):
    return corrects(number, undo=True)


def by(*corrections):
    """Return which correction counts for which entry, by numbers."""
    made = [Correction(seq, event) for seq, event in corrections]
    return {at: each.seq for at, each in standing(made, seq_of).items()}


@pytest.mark.parametrize(
    ("corrections", "expected"),
    [
        ([], {}),
        ([(2, undo(1))], {1: 2}),
        ([(2, undo(1)), (3, undo(1))], {1: 3}),
        ([(3, undo(1)), (2, undo(1))], {1: 3}),
        ([(2, undo(1)), (3, undo(2))], {2: 3}),
        ([(2, undo(1)), (3, undo(2)), (4, undo(3))], {1: 2, 3: 4}),
        ([(2, undo(1)), (3, undo(1)), (4, undo(3))], {1: 2, 3: 4}),
        ([(3, undo(1)), (4, corrects(3, **instead(undo(2))))], {2: 3, 3: 4}),
    ],
    ids=[
        *("none", "one", "the newest counts", "in any order", "undone", "undone twice"),
        *("the one before counts again", "corrected to another target"),
    ],
)
def test_which_correction_counts(corrections, expected):
    assert by(*corrections) == expected


@pytest.mark.parametrize("target", [2, 3, 11], ids=["itself", "a later one", "none"])
def test_only_an_earlier_entry_can_be_corrected(target):
    with pytest.raises(RecordError, match="which is no earlier entry"):
        by((2, undo(target)))


def test_an_entry_without_a_correction_counts_as_it_is():
    written = entry(moved("HK47M"))

    assert counted(written, {}) is written
    assert marked(written, {}) is written


def test_an_undone_entry_counts_for_nothing_and_is_marked():
    written = entry(moved("HK47M"))
    corrections = {1: Correction(4, undo(1))}

    assert counted(written, corrections) is None
    assert marked(written, corrections).corrected_by == 4
    assert marked(written, corrections).event == written.event


def test_a_corrected_entry_counts_as_its_replacement_by_the_same_person():
    written = entry(moved("HK47M"))
    corrections = {1: Correction(4, corrects(1, **instead(RIGHT)))}

    now = counted(written, corrections)

    assert (now.event, now.corrected_by) == (RIGHT, 4)
    assert (now.by, now.seq, now.occurred) == (written.by, 1, written.occurred)


def test_a_corrected_time_counts():
    written = entry(moved("HK47M"))
    event = corrects(1, **instead(RIGHT), occurred_lo_ms=1000, occurred_hi_ms=2000)

    now = counted(written, {1: Correction(4, event)})

    assert now.occurred == Occurred(from_ms(1000), from_ms(2000))


@pytest.mark.parametrize(
    "half", [{"occurred_lo_ms": 1000}, {"occurred_hi_ms": 1000}], ids=["from", "until"]
)
def test_half_a_time_changes_no_time(half):
    written = entry(moved("HK47M"))

    now = counted(written, {1: Correction(4, corrects(1, **instead(RIGHT), **half))})

    assert now.occurred == written.occurred


@pytest.mark.parametrize(
    "half",
    [{"replacement_type": "VialMoved"}, {"replacement_body": "{}"}],
    ids=["a type without a body", "a body without a type"],
)
def test_half_a_replacement_is_none(half):
    assert replacement(corrects(1, **half)) is None


def test_a_correction_of_a_plain_entry_is_fine():
    assert check_correction(entry(moved("HK47M")), corrects(1, **instead(RIGHT))) is None
    assert check_correction(entry(moved("HK47M")), undo(1)) is None


def test_a_correction_of_a_correction_is_fine():
    assert check_correction(entry(undo(1)), corrects(2, **instead(undo(1)))) is None


BEGAN = EpochBegan(parent_epoch=1, parent_seq=1, parent_hash="00", why="drill")


@pytest.mark.parametrize(
    ("wrong", "correction", "says"),
    [
        (None, undo(1), "no entry to correct"),
        (BEGAN, undo(1), "changed nothing"),
        (moved("HK47M"), corrects(1, **instead(BEGAN)), "cannot count as EpochBegan"),
        (moved("HK47M"), corrects(1, **instead(undo(1))), "cannot count as Corrected"),
        (undo(1), corrects(2, **instead(RIGHT)), "cannot count as VialMoved"),
        (
            moved("HK47M"),
            corrects(1, **instead(RIGHT), occurred_lo_ms=2000, occurred_hi_ms=1000),
            "ends .* before it starts",
        ),
    ],
    ids=["no entry", "an epoch", "as an epoch", "as a correction", "a correction as a move",
         "a time that ends before it starts"],
)  # fmt: skip
def test_a_correction_that_makes_no_sense_is_refused(wrong, correction, says):
    with pytest.raises(RecordError, match=says):
        check_correction(wrong and entry(wrong), correction)


def test_a_correction_of_nothing_says_where_the_entries_are_listed():
    with pytest.raises(RecordError) as refused:
        check_correction(None, undo(1))

    assert refused.value.advice == "thawline journal list"


def test_an_undoing_cannot_become_a_move():
    with pytest.raises(RecordError) as refused:
        check_correction(entry(undo(1)), corrects(2, **instead(RIGHT)))

    assert refused.value.says == "entry 1 is Corrected and cannot count as VialMoved"
    assert refused.value.advice == "undo it and record what happened"


def test_a_correction_of_a_time_alone_keeps_the_event():
    told = VialPunctured(vial="HK47M")
    event = Corrected(
        target=str(UUID(int=1)),
        why="clock was wrong",
        **instead(told),
        occurred_lo_ms=1000,
        occurred_hi_ms=1000,
    )

    now = counted(entry(told), {1: Correction(2, event)})

    assert (now.event, now.occurred.lo) == (told, from_ms(1000))
