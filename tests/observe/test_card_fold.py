"""One emergency card: its stamps in order, its window, and whose it was, said afterwards."""

import pytest
from msgspec.structs import replace
from tests.cast import at
from tests.vial.entries import entry

from thawline.base.instants import to_ms
from thawline.ledger.events import DoseNotGiven
from thawline.ledger.observation_events import CardNamed, MomentStamped
from thawline.observe.card_fold import CARD, CardState

WINDOW = (to_ms(at("12:05")), to_ms(at("12:15")))


def played(*events) -> CardState:
    """Return the card after the events, a minute apart from noon."""
    state = None
    for minute, event in enumerate(events):
        [key] = CARD.keys(event)
        state = CARD.step(key, state, entry(event, minute))
    return state


def test_stamps_stay_in_their_order_with_the_window_after_a_dose():
    card = played(
        MomentStamped(what="given", card="H4K7", dose_by_ms=WINDOW),
        MomentStamped(what="called", card="H4K7"),
    )
    assert [each.what for each in card.stamps] == ["given", "called"]
    assert [each.dose_by_ms for each in card.stamps] == [WINDOW, None]
    assert card.person is None


def test_a_name_said_later_counts_for_the_whole_card():
    card = played(
        MomentStamped(what="given", card="H4K7"), CardNamed(card="H4K7", person="DEMO-000001")
    )
    assert (card.person, len(card.stamps)) == ("DEMO-000001", 1)


def test_whoever_a_stamp_names_is_kept_until_somebody_says_otherwise():
    named = MomentStamped(what="down", card="H4K7", person="DEMO-000001")
    assert played(named).person == "DEMO-000001"
    other = CardNamed(card="H4K7", person="DEMO-000002")
    assert played(named, other, replace(named, what="up")).person == "DEMO-000002"


@pytest.mark.parametrize(
    "event",
    [MomentStamped(what="down", person="P-1"), DoseNotGiven(person="P-1", why="other")],
    ids=["a stamp outside any card", "another entry"],
)
def test_what_is_of_no_card_touches_none(event):
    assert CARD.keys(event) == ()
    assert CARD.kinds == {MomentStamped, CardNamed}
