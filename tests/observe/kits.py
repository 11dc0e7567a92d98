"""Looks at a kit, presses and the lead's word, folded minute by minute after noon."""

from datetime import timedelta

from tests.vial.entries import NOON, entry

from thawline.base.instants import Instant
from thawline.ledger.observation_events import KitChecked, MomentStamped, VaccinatingResumed
from thawline.observe.kit_fold import KEY, KIT

HAZEL = "Hazel Rainmoor"
GIVEN = MomentStamped(what="given")
RESUMED = VaccinatingResumed(why="kit-complete")
AUGUST = "2026-08-31"


def looked(*doses, able=(HAZEL,), least=2) -> KitChecked:
    """Return a look at the kit that found these doses and these people."""
    return KitChecked(doses=doses, able=able, least=least)


def kit(*events):
    """Return the kit after the events, the first at noon, a minute apart."""
    return kit_at(*enumerate(events))


def kit_at(*events):
    """Return the kit after the events, each with its minute after noon."""
    state = None
    for minute, event in events:
        state = KIT.step(KEY, state, entry(event, minute))
    return state


def after_noon(minutes: int) -> Instant:
    """Return the instant so many minutes after noon of the Tuesday."""
    return Instant(NOON + timedelta(minutes=minutes))
