"""The machine's clock: the only place that reads it."""

from datetime import UTC, datetime

from thawline.app.ports import Now
from thawline.base.instants import Instant, from_ms, instant, to_ms


def now() -> Instant:
    """Return the present by this machine's clock, in whole milliseconds as in the ledger."""
    return from_ms(to_ms(instant(datetime.now(UTC))))


def standing_at(at: Instant) -> Now:
    """Return a clock that stands still, for a rehearsal and for the demo."""
    return lambda: at
