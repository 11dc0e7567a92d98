"""Who goes with something that is to be carried, and who handed it over."""

from tests.vial.entries import NOON, folded

from thawline.base.instants import to_ms
from thawline.ledger.carry_events import CarryDone, CarryTaken
from thawline.vial.carries import CARRY, CarryState

WHAT = "held|HK47M|chair 2|2321"
MINUTE_MS = 60_000


def test_whoever_takes_it_goes_until_it_is_handed_over():
    taken = CarryState(by="Hazel Rainmoor", taken_ms=to_ms(NOON))

    assert folded(CARRY, CarryTaken(carry=WHAT)) == {WHAT: taken}
    assert folded(CARRY, CarryTaken(carry=WHAT), CarryDone(carry=WHAT)) == {
        WHAT: CarryState(
            by="Hazel Rainmoor",
            taken_ms=to_ms(NOON),
            done_ms=to_ms(NOON) + MINUTE_MS,
            done_by="Hazel Rainmoor",
        )
    }


def test_what_nobody_took_can_be_handed_over_by_whoever_did():
    found = folded(CARRY, CarryDone(carry=WHAT))[WHAT]

    assert (found.by, found.done_by) == (None, "Hazel Rainmoor")
