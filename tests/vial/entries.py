"""Entries as a ledger would hold them, folded into the states of vials, lots and syringes."""

from datetime import timedelta
from uuid import UUID

from tests.cast import CHICAGO, at

from thawline.base.instants import to_ms
from thawline.ledger.entries import Entry, Kind
from thawline.ledger.events import VialMoved

CODE = "HK47M"
NOON = at("12:00")


def entry(event, minute=0, *, station="", by="Hazel Rainmoor") -> Entry:
    """Return the event as the ledger's entry of that minute after noon."""
    when = NOON + timedelta(minutes=minute)
    return Entry(
        seq=minute + 1,
        epoch=1,
        id=UUID(int=minute + 1),
        kind=Kind.FACT,
        by=by,
        device="",
        station=station,
        lo_ms=to_ms(when),
        hi_ms=to_ms(when),
        recorded_ms=to_ms(when),
        zone=CHICAGO.key,
        protocol=None,
        findings=(),
        event=event,
        hash=b"",
    )


def folded(fold, *events, station=""):
    """Return every state after the events, a minute apart."""
    states = {}
    for minute, event in enumerate(events):
        for key in fold.keys(event):
            written = entry(event, minute, station=station)
            states[key] = fold.step(key, states.get(key), written)
    return states


def taken_out(*codes, **more) -> VialMoved:
    """Return vials coming out of a carton into the refrigerator."""
    told = {"to": "fridge", "from_unit": "freezer-1", "doses": 8, **more}
    return VialMoved(vials=codes or (CODE,), lot="ZZ-1041", expiry="2026-08", **told)


def whats(state):
    """Return what was done to a thing, in the order written."""
    return [row.what.value for row in state.rows]
