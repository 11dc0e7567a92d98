"""
Whether vaccinating may go on, by the emergency kit: doses, expiry, somebody able to give one.

Nothing on record about the kit is said and is not taken for a full one.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from zoneinfo import ZoneInfo

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, local_time
from thawline.observe.kit_fold import KitState, good_doses, is_short, paused_since

PAUSED = "vaccinating-paused"


def kit_findings(
    kit: KitState | None, now: Instant, zone: ZoneInfo, item: str | None
) -> tuple[Finding, ...]:
    """Return what the kit says to a dose at this moment: a stop while vaccinating is paused."""
    if kit is None or not kit.checked_ms:
        says = "Nobody recorded a look at the emergency kit: thawline observe kit."
        return (Finding(Level.CHECK, "kit-not-checked", says, item),)
    since = paused_since(kit, now)
    if since is None:
        return ()
    says = (
        f"Vaccinating has been paused since {_when(since, now, zone)}: {_why(kit, now, zone)} "
        "Only the clinical lead lets it go on: thawline observe resume."
    )
    return (Finding(Level.STOP, PAUSED, says, item),)


def _when(since: Instant, now: Instant, zone: ZoneInfo) -> str:
    """Return the time at the site, with its date where that is not today's."""
    clock = local_time(since, zone).isoformat(timespec="minutes")
    day = local_date(since, zone)
    return clock if day == local_date(now, zone) else f"{day.isoformat()} {clock}"


def _why(kit: KitState, now: Instant, zone: ZoneInfo) -> str:
    good = good_doses(kit, local_date(now, zone))
    if good < kit.least:
        return f"epinephrine doses present and unexpired: {good}; needed: {kit.least}."
    if is_short(kit, now):
        return "nobody present is named as able to give epinephrine."
    return "the kit is complete again."


def read_doses(typed: Sequence[str]) -> tuple[str, ...]:
    """
    Return the doses of a kit as they are recorded, from texts like 3@2026-08-31.

    Raises:
        RecordError: One is not a count and a day.
    """
    return tuple(_read(text) for text in typed)


def _read(text: str) -> str:
    count, at, last = text.strip().partition("@")
    try:
        day = date.fromisoformat(last)
    except ValueError:
        day = None
    if not at or day is None or not (count.isascii() and count.isdigit()):
        raise RecordError(
            f"not doses with their last day of use: {text!r}", advice="write 3@2026-08-31"
        )
    return f"{int(count)}@{day.isoformat()}"


def named(people: Iterable[str]) -> tuple[str, ...]:
    """Return the people who can give epinephrine, each once, without empty names."""
    return tuple(dict.fromkeys(name.strip() for name in people if name.strip()))
