"""
How entries become what is known of a storage unit, and of the logger files read into it.

The readings of files lie beside the ledger. A file's state says under which digest, so that
readings which no entry vouches for are never used.
"""

from msgspec import Struct
from msgspec.structs import replace

from thawline.base.instants import to_ms
from thawline.ledger import events as ev
from thawline.ledger.entries import Entry


class HandRow(Struct, frozen=True, omit_defaults=True):
    """One hand reading; temperatures in thousandths of a degree, times in ms of UTC."""

    seq: int
    lo_ms: int
    hi_ms: int
    temp_mc: int
    by: str
    min_mc: int | None = None
    max_mc: int | None = None
    reset: bool = False


class CallRow(Struct, frozen=True, omit_defaults=True):
    """Who was called about the unit, when, and what they said."""

    seq: int
    at_ms: int
    by: str
    called: str
    answer: str = ""
    case: str = ""


class HoldRow(Struct, frozen=True, omit_defaults=True):
    """What was held for an excursion of the unit, by whom and why."""

    seq: int
    at_ms: int
    by: str
    why: str
    vials: tuple[str, ...] = ()
    cartons: tuple[str, ...] = ()
    syringes: tuple[str, ...] = ()
    from_ms: int | None = None
    until_ms: int | None = None


class WarmRow(Struct, frozen=True):
    """From when the clocks of what was inside run: the unit was out of its frozen band."""

    seq: int
    lo_ms: int
    hi_ms: int
    by: str


class UnitState(Struct, frozen=True, omit_defaults=True):
    """What was written down about a storage unit, in the order it was written."""

    hand: tuple[HandRow, ...] = ()
    calls: tuple[CallRow, ...] = ()
    holds: tuple[HoldRow, ...] = ()
    warmed: tuple[WarmRow, ...] = ()


class FileState(Struct, frozen=True):
    """A logger file that was read into a unit's record."""

    seq: int
    unit: str
    probe: str
    name: str
    sha256: str
    readings_sha256: str
    readings: int
    first_ms: int
    last_ms: int
    read_as: str
    by: str
    entry: str  # the entry's id


class UnitFold:
    """Entries to `UnitState`, keyed by the unit's name."""

    name = "unit"
    state_type = UnitState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset(_OF_A_UNIT)

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the unit of an event that reads, warms, calls about or holds for one."""
        return (event.unit,) if isinstance(event, _OF_A_UNIT) and event.unit else ()

    def step(self, key: str, state: UnitState | None, entry: Entry) -> UnitState:  # noqa: ARG002
        """Return the unit's state after the entry."""
        unit, event = state or UnitState(), entry.event
        if isinstance(event, ev.ReadingTaken):
            return replace(unit, hand=(*unit.hand, _hand(entry, event)))
        if isinstance(event, ev.ExcursionCalled):
            return replace(unit, calls=(*unit.calls, _call(entry, event)))
        if isinstance(event, ev.VialHeld):
            return replace(unit, holds=(*unit.holds, _hold(entry, event)))
        when = entry.occurred
        warm = WarmRow(entry.seq, to_ms(when.lo), to_ms(when.hi), entry.by)
        return replace(unit, warmed=(*unit.warmed, warm))


UNIT = UnitFold()

_OF_A_UNIT = (ev.ReadingTaken, ev.ExcursionCalled, ev.UnitWarmed, ev.VialHeld)


def _hand(entry: Entry, event: ev.ReadingTaken) -> HandRow:
    return HandRow(
        seq=entry.seq,
        lo_ms=entry.lo_ms,
        hi_ms=entry.hi_ms,
        temp_mc=event.temp_mc,
        by=entry.by,
        min_mc=event.min_mc,
        max_mc=event.max_mc,
        reset=event.reset,
    )


def _call(entry: Entry, event: ev.ExcursionCalled) -> CallRow:
    at_ms = entry.lo_ms
    return CallRow(entry.seq, at_ms, entry.by, event.called, event.answer, event.case)


def _hold(entry: Entry, event: ev.VialHeld) -> HoldRow:
    return HoldRow(
        seq=entry.seq,
        at_ms=entry.lo_ms,
        by=entry.by,
        why=event.why,
        vials=event.vials,
        cartons=event.cartons,
        syringes=event.syringes,
        from_ms=event.from_ms,
        until_ms=event.until_ms,
    )


class FileFold:
    """Entries to `FileState`, keyed by unit, probe and the digest of the readings."""

    name = "logger_file"
    state_type = FileState

    @property
    def kinds(self) -> frozenset[type[ev.Event]]:
        """Return the events that can touch one."""
        return frozenset({ev.LoggerFileRead})

    def keys(self, event: ev.Event) -> tuple[str, ...]:
        """Return the file that an event read."""
        if not isinstance(event, ev.LoggerFileRead):
            return ()
        return (file_key(event.unit, event.probe, event.readings_sha256),)

    def step(self, key: str, state: FileState | None, entry: Entry) -> FileState:  # noqa: ARG002
        """Return the file's state; the first entry that read it is the one that counts."""
        event = entry.event
        assert isinstance(event, ev.LoggerFileRead)  # noqa: S101  the only one `keys` lets in
        return state or FileState(
            seq=entry.seq,
            unit=event.unit,
            probe=event.probe,
            name=event.name,
            sha256=event.sha256,
            readings_sha256=event.readings_sha256,
            readings=event.readings,
            first_ms=event.first_ms,
            last_ms=event.last_ms,
            read_as=event.read_as,
            by=entry.by,
            entry=str(entry.id),
        )


LOGGER_FILE = FileFold()


def file_key(unit: str, probe: str, readings_sha256: str) -> str:
    """Return the fold's key of a file's readings in a unit's record."""
    return f"{unit}|{probe}|{readings_sha256}"
