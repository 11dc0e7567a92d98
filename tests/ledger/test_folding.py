"""What entries add up to, and which of them touched which thing."""

from array import array

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.acts import FLAGS, WHERE, Seen, act, corrects, instead, moved, refuses, says
from tests.fakes import SITE, FakeLedger

from thawline.base.errors import RecordError, RefusedError
from thawline.ledger.chain import NOTHING
from thawline.ledger.corrections import Correction
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.folding import fold_all, keys_of, touches
from thawline.ledger.kinds import EVENTS
from thawline.ledger.stored import entry_of, next_row

VIALS = ("HK47M", "CM62T", "RA93P")


def rows_of(*events):
    """Return rows for events, numbered from 1."""
    rows, head = [], NOTHING
    for number, event in enumerate(events, 1):
        rows.append(next_row(SITE, head, act(number), Decision(event), "ab" * 32))
        head = rows[-1].head
    return rows


def chain_of(*events):
    """Return entries for events, numbered from 1."""
    return [entry_of(row) for row in rows_of(*events)]


def folded(rows, corrections):
    return fold_all((WHERE,), rows, corrections)["whereabouts"]


def test_states_and_touches_follow_the_entries():
    result = folded(rows_of(moved("HK47M", "CM62T"), moved("HK47M", to="table")), {})

    assert result.states["HK47M"] == Seen(("fridge", "table"), (1, 2))
    assert result.touched == {"HK47M": array("q", [1, 2]), "CM62T": array("q", [1])}


def test_an_entry_that_counts_elsewhere_still_touches_what_it_said():
    event = corrects(1, **instead(moved("RA93P", "CM62T")))

    result = folded(rows_of(moved("HK47M", "CM62T"), event), {1: Correction(2, event)})

    assert result.states == {"RA93P": Seen(("fridge",), (1,)), "CM62T": Seen(("fridge",), (1,))}
    assert {key: list(numbers) for key, numbers in result.touched.items()} == {
        "RA93P": [1],
        "CM62T": [1],
        "HK47M": [-1],
    }


def test_an_undone_entry_leaves_no_state():
    event = corrects(1, undo=True)

    result = folded(rows_of(moved("HK47M"), event), {1: Correction(2, event)})

    assert result.states == {}
    assert list(result.touched["HK47M"]) == [-1]


def test_corrections_and_refusals_touch_nothing_themselves():
    ledger = FakeLedger((WHERE,))
    try:
        ledger.record(act(1, kind=Kind.COMMAND), refuses)
    except RefusedError:
        with ledger.view() as view:
            refusal = next(view.entries())
    (correction,) = chain_of(corrects(1, undo=True))

    assert keys_of(WHERE, refusal) == keys_of(WHERE, correction) == keys_of(WHERE, None) == ()


class Everything:
    """A fold that would take in any event at all."""

    name = "everything"
    state_type = int
    kinds = frozenset(EVENTS.values())

    def keys(self, event):  # noqa: ARG002, D102
        return ("all",)

    def step(self, key, state, entry):  # noqa: ARG002, D102
        return (state or 0) + 1


def test_no_fold_ever_sees_a_correction_or_a_refusal():
    ledger = FakeLedger((Everything(),))
    ledger.record(act(1), says(moved("HK47M")))
    with pytest.raises(RefusedError):
        ledger.record(act(2, kind=Kind.COMMAND), refuses)
    ledger.record(act(3), says(corrects(1, **instead(moved("CM62T")))))

    at_once = fold_all((Everything(),), ledger.rows, {})["everything"].states

    assert at_once == ledger.folded["everything"].states == {"all": 1}


def test_what_an_entry_touches_says_where_it_counts():
    written, now = chain_of(moved("HK47M", "CM62T"), moved("CM62T", "RA93P"))

    assert touches(WHERE, written, now) == {"HK47M": False, "CM62T": True, "RA93P": True}
    assert touches(WHERE, written, None) == {"HK47M": False, "CM62T": False}


def test_every_fold_has_its_own_states():
    result = fold_all((WHERE, FLAGS), rows_of(moved("HK47M")), {})

    assert result["flags"].states == {"HK47M": 1}


acts = st.lists(
    st.tuples(
        st.sampled_from(["move", "correct", "undo"]),
        st.integers(1, 12),
        st.sampled_from(VIALS),
        st.sampled_from(["fridge", "table"]),
    ),
    max_size=12,
)


def event_of(number, how, target, vial, to, before):
    """Return an event that makes sense at its place: a correction of one that is there."""
    if how == "move" or number == 1:
        return moved(vial, to=to)
    target = 1 + target % (number - 1)
    if how == "undo" or before[target - 1].__class__.__name__ == "Corrected":
        return corrects(target, undo=True)
    return corrects(target, **instead(moved(vial, to=to)))


@given(acts)
def test_folding_step_by_step_is_folding_all_at_once(asked):
    ledger = FakeLedger((WHERE, FLAGS))
    events = []
    for number, (how, target, vial, to) in enumerate(asked, 1):
        events.append(event_of(number, how, target, vial, to, events))
        ledger.record(act(number), lambda _, event=events[-1]: Decision(event))

    with ledger.view() as view:
        at_once = fold_all((WHERE, FLAGS), ledger.rows, view.standing)

    for name in ("whereabouts", "flags"):
        assert ledger.folded[name].states == at_once[name].states


def test_an_entry_that_nothing_asks_about_may_be_unreadable_and_changes_nothing():
    ledger = FakeLedger((WHERE,))
    ledger.record(act(1), says(moved("HK47M")))
    (row,) = ledger.rows
    opened = replace(
        row, header=row.header.replace(b"VialMoved", b"VialPunctured"), body=b"not read"
    )

    assert fold_all((WHERE,), [opened], {})["whereabouts"].states == {}


def test_an_event_that_nobody_knows_is_refused_even_where_nothing_asks_about_it():
    ledger = FakeLedger((WHERE,))
    ledger.record(act(1), says(moved("HK47M")))
    (row,) = ledger.rows
    unknown = replace(row, header=row.header.replace(b"VialMoved", b"VialSungTo"))

    with pytest.raises(RecordError, match="unknown event: 'VialSungTo'"):
        fold_all((), [unknown], {})
