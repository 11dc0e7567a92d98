"""
When a finger touched a tablet, from what the tablet can say of it: an interval round the truth.

A tablet measures the time since the touch by a clock that only goes forward, but which may
stand while the tablet sleeps; its wall clock may be set. Each alone may be wrong, so the
earlier bound is the earlier of the two: a clock that runs on a vial ends too soon, never too
late. After a reload only the wall clock is left, put right by the last offset measured.
"""

from dataclasses import dataclass
from datetime import time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from thawline.app.ports import Site
from thawline.base.errors import UnsaidError
from thawline.base.instants import (
    Instant,
    Occurred,
    exactly,
    from_ms,
    local_date,
    local_instant,
    to_ms,
)
from thawline.ledger.entries import Kind

PROMPT = timedelta(seconds=4)
"""Up to this a press is of now: nothing waited. A tablet keeps a press after as long."""
LATE = timedelta(seconds=20)
"""From when a press is a fact that waited on the tablet: the rules can no longer refuse it."""
MARGIN = timedelta(seconds=2)
"""What a tablet's own measure of elapsed time may be off by, over a shift."""
RELOADED = timedelta(seconds=120)
"""What the wall clock of a tablet that was started anew may be off by."""
LONGEST = timedelta(days=366)
"""No press waits longer on a tablet: its measure is not of this touch."""
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Touch:
    """
    What a tablet says of a touch; None or empty: it does not know.

    Args:
        elapsed_ms: Since the touch, by a clock that only goes forward.
        clock_ms: The touch by the wall clock, put right by the last offset measured before it.
        typed: What a person typed where the tablet knew neither, as 10:42.
    """

    elapsed_ms: int | None = None
    clock_ms: int | None = None
    typed: str = ""

    def occurred(self, now: Instant, zone: ZoneInfo) -> Occurred:
        """
        Return when the finger touched, as an interval that holds the truth.

        Raises:
            UnsaidError: Nobody knows; somebody must type the time.
        """
        if self.typed:
            return _typed(self.typed, now, zone)
        if self.elapsed_ms is not None:
            return _measured(self.elapsed_ms, self.clock_ms, now)
        if self.clock_ms is None:
            raise _unknown()
        touched = _by_wall_clock(self.clock_ms, now)
        if touched - RELOADED > now:
            raise _unknown()
        return Occurred(
            Instant(min(now, touched - RELOADED)), Instant(min(now, touched + RELOADED))
        )


NOW = Touch(elapsed_ms=0)
"""A press that was sent the moment the finger touched, as a page without script sends it."""


@dataclass(frozen=True, slots=True)
class Times:
    """When it occurred, and whether it waited so long that it is a fact."""

    occurred: Occurred
    happened: bool


def fresh_times(site: Site, touch: Touch) -> Times:
    """Return the times of a press that arrives now; UnsaidError if nobody knows them."""
    now = site.now()
    occurred = touch.occurred(now, site.zone)
    return Times(occurred, now - occurred.lo > LATE)


def kept_times(site: Site, press_id: UUID) -> Times | None:
    """
    Return the times of a press that was recorded before, None for one that was not.

    A tablet that lost the answer asks again, later; it is still the same press.
    """
    with site.ledger.view() as view:
        entry = view.entry(press_id)
    return Times(entry.occurred, entry.kind is Kind.FACT) if entry else None


def _measured(elapsed_ms: int, clock_ms: int | None, now: Instant) -> Occurred:
    elapsed = timedelta(milliseconds=max(0, elapsed_ms))
    if elapsed > LONGEST:
        raise _unknown()
    touched = Instant(now - elapsed)
    shown = touched if clock_ms is None else min(touched, _by_wall_clock(clock_ms, now))
    if elapsed > PROMPT or shown < touched - MARGIN:
        return Occurred(Instant(shown - MARGIN), Instant(min(now, touched + MARGIN)))
    return Occurred(touched, now) if elapsed else exactly(now)


def _by_wall_clock(clock_ms: int, now: Instant) -> Instant:
    """Return the touch by the tablet's clock; one that stands years ago tells nothing of it."""
    if clock_ms < to_ms(Instant(now - LONGEST)):
        raise _unknown()
    return from_ms(min(clock_ms, to_ms(Instant(now + LONGEST))))


def _typed(text: str, now: Instant, zone: ZoneInfo) -> Occurred:
    try:
        wall = time.fromisoformat(text)
    except ValueError as error:
        raise UnsaidError(f"not a time of day: {text!r}", advice="type it as 10:42") from error
    lo = local_instant(local_date(now, zone), wall, zone)
    if lo > now:
        raise UnsaidError(
            f"{text} has not come yet today", advice="type the time of the press, as 10:42"
        )
    return Occurred(lo, Instant(min(now, lo + _MINUTE)))


def _unknown() -> UnsaidError:
    return UnsaidError(
        "nobody knows when this was pressed", advice="type the time of the press, as 10:42"
    )
