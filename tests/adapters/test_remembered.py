"""What is remembered of a ledger is, after every act, what the ledger itself says."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.acts import FLAGS, WHERE, act, corrects, moved, says
from tests.fakes import FakeLedger

from thawline.adapters.remembered import MOST_NEW, RememberingLedger
from thawline.ledger.events import VialPunctured

FOLDS = (WHERE, FLAGS)
VIALS = ("HK47M", "CM62T", "RA93P")


def everything(ledger):
    with ledger.view() as view:
        states = {fold.name: list(view.all(fold)) for fold in FOLDS}
        return states, list(view.counting())


@pytest.fixture
def both():
    plain = FakeLedger(FOLDS)
    return plain, RememberingLedger(plain)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("move", "open", "undo")),
            st.sampled_from(VIALS),
            st.integers(0, 30),
            st.booleans(),
        ),
        max_size=30,
    )
)
def test_after_any_acts_and_undoings_nothing_is_remembered_wrongly(acts):
    plain = FakeLedger(FOLDS)
    kept = RememberingLedger(plain)
    written: list[int] = []
    for number, (what, vial, which, looks) in enumerate(acts, 1):
        if what == "undo" and written:
            target = written.pop(which % len(written))
            kept.record(act(number), says(corrects(target, undo=True)))
        else:
            event = VialPunctured(vial=vial) if what == "open" else moved(vial)
            kept.record(act(number), says(event))
            written.append(number)
        if looks:
            assert everything(kept) == everything(plain)
    assert everything(kept) == everything(plain)


def test_a_view_sees_nothing_that_was_written_after_it_began(both):
    _, kept = both
    kept.record(act(1), says(moved("HK47M")))
    with kept.view() as early:
        kept.record(act(2), says(moved("CM62T")))
        with kept.view() as late:
            assert [key for key, _ in late.all(WHERE)] == ["CM62T", "HK47M"]
        assert [key for key, _ in early.all(WHERE)] == ["HK47M"]
        assert early.one(WHERE, "CM62T") is None


def test_an_act_of_another_process_is_seen_too(both):
    plain, kept = both
    kept.record(act(1), says(moved("HK47M")))
    assert everything(kept) == everything(plain)
    plain.record(act(2), says(moved("HK47M", to="table")))
    with kept.view() as view:
        list(view.all(WHERE))
        assert view.one(WHERE, "HK47M").moves == ("fridge", "table")


def test_after_very_many_acts_everything_is_read_again(both):
    plain, kept = both
    kept.record(act(1), says(moved("HK47M")))
    assert everything(kept) == everything(plain)
    for number in range(2, MOST_NEW + 4):
        plain.record(act(number), says(VialPunctured(vial=VIALS[number % 3])))
    assert everything(kept) == everything(plain)


def test_a_kind_of_thing_asked_long_ago_is_read_again_and_those_beside_it_are_right(both):
    plain, kept = both
    kept.record(act(1), says(moved("HK47M")))
    assert everything(kept) == everything(plain)  # both kinds stand at the first entry
    last = MOST_NEW + 4
    for number in range(2, last):
        plain.record(act(number), says(VialPunctured(vial=VIALS[number % 3])))
        if number == last // 2:
            with kept.view() as view:
                list(view.all(FLAGS))  # this kind has read half of them
    with kept.view() as view:
        list(view.all(WHERE))  # too many are new for this one
    assert everything(kept) == everything(plain)


def test_what_no_new_act_touches_is_the_very_same_and_not_read_again(both):
    _, kept = both
    kept.record(act(1), says(moved("HK47M")))
    with kept.view() as view:
        before = dict(view.all(WHERE))
    kept.record(act(2), says(moved("CM62T")))
    with kept.view() as view:
        after = dict(view.all(WHERE))
    assert after["HK47M"] is before["HK47M"]
