"""
How entries become the state of the emergency kit: looked at, used, paused, let go on.

A pause begins with the first entry, or the first midnight, at which the kit is short, and ends
only by the clinical lead: a kit that is filled again does not end it by itself. Looks, doses
and the lead's word count by their own times, whenever they were typed.
"""

from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import (
    Instant,
    Occurred,
    from_ms,
    local_date,
    midnight_after,
    to_ms,
    zone_named,
)
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event
from thawline.ledger.observation_events import KitChecked, MomentStamped, VaccinatingResumed

KEY = "kit"
GIVEN = "given"


class KitState(Struct, frozen=True):
    """
    The kit as it was last looked at, what was used since, and whether a pause stands.

    The look was not before `looked_ms` and not after `checked_ms`; a dose at `given_ms` at the
    latest.
    """

    doses: tuple[tuple[int, str], ...] = ()  # count and last day of use
    able: tuple[str, ...] = ()
    least: int = 0
    looked_ms: int = 0
    checked_ms: int = 0
    given_ms: tuple[int, ...] = ()
    zone: str = "UTC"
    paused_ms: int | None = None
    resumed_ms: int = 0

    @property
    def used(self) -> int:
        """The doses given since the look."""
        return len(self.given_ms)


class KitFold:
    """Entries to `KitState`, under one key."""

    name = "kit"
    state_type = KitState

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return frozenset({MomentStamped, KitChecked, VaccinatingResumed})

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the one key for what concerns the kit."""
        given = isinstance(event, MomentStamped) and event.what == GIVEN
        return (KEY,) if given or isinstance(event, KitChecked | VaccinatingResumed) else ()

    def step(self, key: str, state: KitState | None, entry: Entry) -> KitState:  # noqa: ARG002
        """Return the kit after the entry."""
        when, event = entry.occurred, entry.event
        if isinstance(event, KitChecked):
            return looked_at(state, event, when, entry.zone)
        kit = _overtaken(state or KitState(), when.hi)
        at_ms = to_ms(when.hi)
        if isinstance(event, MomentStamped):
            if at_ms <= kit.looked_ms:
                return kit  # the look was after it, and found what it left
            return _latched(replace(kit, given_ms=(*kit.given_ms, at_ms)), when.hi)
        return _resumed(kit, when.hi)


KIT = KitFold()
"""The one fold of the kit; it keeps nothing between calls."""


def good_doses(kit: KitState, day: date) -> int:
    """Return the doses present and unexpired on a local day; the last day itself counts."""
    good = sum(count for count, last in kit.doses if day <= date.fromisoformat(last))
    return max(good - kit.used, 0)


def is_short(kit: KitState, at: Instant) -> bool:
    """Say whether a kit that was looked at has too few doses, or nobody to give one."""
    if not kit.checked_ms:
        return False
    day = local_date(at, zone_named(kit.zone))
    return good_doses(kit, day) < kit.least or not kit.able


def looked_at(kit: KitState | None, event: KitChecked, when: Occurred, zone: str) -> KitState:
    """
    Return the kit after a look at it; a pause that stood before goes on.

    A look that was before the last one changes nothing in the kit. It begins a pause where it
    found too little, unless the lead let vaccinating go on since.
    """
    before, at = kit or KitState(), when.hi
    pairs = (text.partition("@") for text in event.doses)
    stands = paused_since(before, at)
    looked_ms = to_ms(when.lo)
    found = KitState(
        doses=tuple((int(count), last) for count, _, last in pairs),
        able=event.able,
        least=event.least,
        looked_ms=looked_ms,
        checked_ms=to_ms(at),
        given_ms=tuple(each for each in before.given_ms if each > looked_ms),
        zone=zone,
        paused_ms=None if stands is None else to_ms(stands),
        resumed_ms=before.resumed_ms,
    )
    now = _latched(found, at)
    if now.checked_ms >= before.checked_ms:
        return now
    over = before.resumed_ms >= now.checked_ms
    return before if over else replace(before, paused_ms=now.paused_ms)


def _resumed(kit: KitState, at: Instant) -> KitState:
    """Return the kit after the lead's word; a pause that began after it goes on."""
    at_ms = to_ms(at)
    after = replace(kit, resumed_ms=max(kit.resumed_ms, at_ms))
    if kit.paused_ms is not None and kit.paused_ms > at_ms:
        return after
    return _latched(replace(after, paused_ms=None), at)


def _latched(kit: KitState, at: Instant) -> KitState:
    """Return the kit with a pause if it is short and none stands."""
    if kit.paused_ms is not None or not is_short(kit, at):
        return kit
    return replace(kit, paused_ms=to_ms(at))


def _overtaken(kit: KitState, at: Instant) -> KitState:
    """Return the kit with a pause since the midnight at which too few doses were left."""
    if kit.paused_ms is not None or not is_short(kit, at):
        return kit
    zone = zone_named(kit.zone)
    lasts = sorted(date.fromisoformat(last) for _, last in kit.doses)
    went_by = (last for last in lasts if last < local_date(at, zone))
    midnights = (
        midnight_after(last, zone)
        for last in went_by
        if good_doses(kit, last + timedelta(days=1)) < kit.least
    )
    return replace(kit, paused_ms=to_ms(next(midnights, at)))


def paused_since(kit: KitState | None, at: Instant) -> Instant | None:
    """Return since when vaccinating is paused; None when it is not."""
    if kit is None:
        return None
    then = _overtaken(kit, at)
    return None if then.paused_ms is None else from_ms(then.paused_ms)
