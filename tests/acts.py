"""
Acts, events and two small folds for trying a ledger; all invented, in the demo's district.

An act's number is its id and the minute after noon at which it happened.
"""

# ruff: noqa: D102, ARG001, ARG002, ARG005 - folds and decisions take what the ports give them

from dataclasses import replace
from datetime import timedelta
from uuid import UUID

from msgspec import Struct

from thawline.base.errors import RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import exactly, read_instant
from thawline.ledger.canonical import body_bytes
from thawline.ledger.entries import Act, Decision, Kind
from thawline.ledger.events import Corrected, VialMoved, VialPunctured

NOON = read_instant("2026-02-03T12:00:00-06:00")
HELD = Finding(Level.STOP, "held", "vial HK47M is held since 11:58", "C4")


class Seen(Struct, frozen=True):
    """Where a vial went, and at which entries."""

    moves: tuple[str, ...] = ()
    entries: tuple[int, ...] = ()


class Whereabouts:
    """A small fold: which way each vial went."""

    name = "whereabouts"
    state_type = Seen
    kinds = frozenset({VialMoved})

    def keys(self, event):
        return event.vials if isinstance(event, VialMoved) else ()

    def step(self, key, state, entry):
        before = state or Seen()
        return Seen((*before.moves, entry.event.to), (*before.entries, entry.seq))


class Flags:
    """Another fold on the same entries: how often anything was said about a vial."""

    name = "flags"
    state_type = int
    kinds = frozenset({VialMoved, VialPunctured})

    def keys(self, event):
        if isinstance(event, VialPunctured):
            return (event.vial,)
        return event.vials if isinstance(event, VialMoved) else ()

    def step(self, key, state, entry):
        return (state or 0) + 1


WHERE, FLAGS = Whereabouts(), Flags()


def act(number, minute=None, **changes):
    at = NOON + timedelta(minutes=number if minute is None else minute)
    asked = Act(
        id=UUID(int=number),
        kind=Kind.FACT,
        by="pat",
        occurred=exactly(at),
        recorded_at=at,
        zone="America/Chicago",
        command={"verb": "vial to", "number": number},
        device="tablet-2",
        station="draw-1",
    )
    return replace(asked, **changes)


def moved(*vials, to="fridge"):
    return VialMoved(vials=vials, to=to, lot="ZZ-1041", expiry="2026-08")


def says(event, *findings):
    return lambda view: Decision(event, findings)


def refuses(view):
    raise RefusedError([HELD], advice="thawline vial next")


def corrects(number, **changes):
    return Corrected(target=str(UUID(int=number)), why="wrong vial scanned", **changes)


def instead(event):
    kind = type(event).__name__
    return {"replacement_type": kind, "replacement_body": body_bytes(event).decode()}
