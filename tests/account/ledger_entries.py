"""Entries as a ledger would hold them, for tests that fold events into balances."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from thawline.account.fold import ACCOUNT, Balance
from thawline.base.instants import Instant, instant, to_ms
from thawline.ledger.entries import Entry, Kind
from thawline.ledger.events import Event

MORNING = instant(datetime(2026, 2, 3, 14, tzinfo=UTC))  # 08:00 in Chicago
CHICAGO = "America/Chicago"


def entry(event: Event, at: Instant = MORNING, seq: int = 1, station: str = "") -> Entry:
    return Entry(
        seq=seq,
        epoch=1,
        id=UUID(int=seq),
        kind=Kind.FACT,
        by="rowan",
        device="",
        station=station,
        lo_ms=to_ms(at),
        hi_ms=to_ms(at),
        recorded_ms=to_ms(at),
        zone=CHICAGO,
        protocol=None,
        findings=(),
        event=event,
        hash=b"",
    )


def day_of(*events: Event) -> list[Entry]:
    """The events a minute apart, from eight in the morning on."""
    return [
        entry(event, Instant(MORNING + timedelta(minutes=minute)), minute + 1)
        for minute, event in enumerate(events)
    ]


def balances(entries: list[Entry]) -> dict[str, Balance]:
    states: dict[str, Balance] = {}
    for each in entries:
        for key in ACCOUNT.keys(each.event):
            states[key] = ACCOUNT.step(key, states.get(key), each)
    return states
