"""How entries become the state of a syringe: drawn, then given, wasted or missing."""

from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from thawline.ledger import events as ev
from thawline.ledger.entries import Entry
from thawline.vial.codes import vial_of
from thawline.vial.facts import Row, SyringeState
from thawline.vial.folds import room_rows, row
from thawline.vial.story import What

NEVER_DRAWN = "never-drawn"
"""What a code is whose drawing nobody recorded: somebody scanned it, and that is all."""


class SyringeFold:
    """Entries to `SyringeState`, keyed by the syringe's code."""

    name = "syringe"
    state_type = SyringeState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset(_SYRINGES)

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the codes of the syringes this event touches."""
        codes = _SYRINGES[type(event)](event) if type(event) in _SYRINGES else ()
        return tuple(dict.fromkeys(codes))

    def step(self, key: str, state: SyringeState | None, entry: Entry) -> SyringeState:
        """Return the syringe's state after the entry."""
        before = state or _new(key, entry)
        return _STEPS[type(entry.event)](before, entry, entry.event)


SYRINGE = SyringeFold()


def _new(key: str, entry: Entry) -> SyringeState:
    """Return a syringe as the first entry that speaks of it finds it."""
    return SyringeState(
        vial=vial_of(key),
        lot=getattr(entry.event, "lot", None) or "?",
        drawn_lo_ms=entry.lo_ms,
        drawn_hi_ms=entry.hi_ms,
        by=entry.by,
        station=entry.station,
        became="drawn" if isinstance(entry.event, _COMES_FROM) else NEVER_DRAWN,
        seen=(_seen(entry),) if isinstance(entry.event, _COMES_FROM) else (),
    )


_COMES_FROM = (ev.DoseDrawn, ev.SyringesArrived)


def _drawn(syringe: SyringeState, entry: Entry, event: ev.DoseDrawn) -> SyringeState:
    return _begun(syringe, entry, event.lot)


def _begun(syringe: SyringeState, entry: Entry, lot: str) -> SyringeState:
    """Return the syringe; one whose code was scanned before begins with this entry."""
    if syringe.became != NEVER_DRAWN:
        return syringe
    return replace(
        syringe,
        lot=lot,
        drawn_lo_ms=entry.lo_ms,
        drawn_hi_ms=entry.hi_ms,
        by=entry.by,
        station=entry.station,
        became="drawn",
        seen=(_seen(entry),),
    )


def _seen(entry: Entry) -> Row:
    return row(entry, What.TO_TABLE, unit=entry.station)


def _arrived(syringe: SyringeState, entry: Entry, event: ev.SyringesArrived) -> SyringeState:
    needed = {
        "puncture time": event.punctured_ms,
        "who drew it": event.drawn_by,
        "use-by": event.use_by_ms,
    }
    missing = [name for name, value in needed.items() if value is None]
    held = (row(entry, What.HOLD, why=f"not known: {', '.join(missing)}"),) if missing else ()
    came = _begun(syringe, entry, event.lot)
    return replace(came, ready_drawn=True, use_by_ms=event.use_by_ms, rows=held)


def _checked(syringe: SyringeState, entry: Entry, _event: ev.DoseChecked) -> SyringeState:
    if not entry.station:
        return syringe
    return replace(syringe, station=entry.station, seen=(*syringe.seen, _seen(entry)))


def _given(syringe: SyringeState, entry: Entry, event: ev.DoseGiven) -> SyringeState:
    return replace(syringe, became="given", person=event.person, ended=_ended(entry))


def _wasted(syringe: SyringeState, entry: Entry, _event: ev.DoseWasted) -> SyringeState:
    return replace(syringe, became="wasted", ended=_ended(entry))


def _missing(syringe: SyringeState, entry: Entry, _event: ev.DoseNotFound) -> SyringeState:
    return replace(syringe, became="missing", ended=_ended(entry))


def _ended(entry: Entry) -> Row:
    return row(entry, What.DISCARD)


def _room_read(syringe: SyringeState, entry: Entry, event: ev.ReadingTaken) -> SyringeState:
    return replace(syringe, rows=(*syringe.rows, *room_rows(entry, event)))


def _held(syringe: SyringeState, entry: Entry, event: ev.VialHeld) -> SyringeState:
    return replace(syringe, rows=(*syringe.rows, row(entry, What.HOLD, why=event.why)))


def _released(syringe: SyringeState, entry: Entry, event: ev.VialReleased) -> SyringeState:
    return replace(syringe, rows=(*syringe.rows, row(entry, What.RELEASE, why=event.why)))


_STEPS: dict[type[ev.Event], Callable[[SyringeState, Entry, Any], SyringeState]] = {
    ev.DoseDrawn: _drawn,
    ev.SyringesArrived: _arrived,
    ev.DoseChecked: _checked,
    ev.DoseGiven: _given,
    ev.DoseWasted: _wasted,
    ev.DoseNotFound: _missing,
    ev.VialHeld: _held,
    ev.VialReleased: _released,
    ev.ReadingTaken: _room_read,
}


def _one(event: Any) -> tuple[str, ...]:
    return (event.syringe,) if event.syringe else ()


def _at_place(event: Any) -> tuple[str, ...]:
    kind, _, code = event.place.partition(":")
    return (code,) if kind == "syringe" else ()


_SYRINGES: dict[type[ev.Event], Callable[[Any], tuple[str, ...]]] = {
    **dict.fromkeys(_STEPS, lambda event: event.syringes),
    **dict.fromkeys((ev.DoseChecked, ev.DoseGiven), _one),
    **dict.fromkeys((ev.DoseWasted, ev.DoseNotFound), _at_place),
}
