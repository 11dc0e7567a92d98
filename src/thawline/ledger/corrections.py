"""
What an entry counts as, once it turned out to be wrong.

A correction is an entry of its own that names the wrong one; both stay. The newest correction
of an entry counts. A correction can itself be corrected, or undone, and then whatever it had
put aside counts again.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from msgspec.structs import replace

from thawline.base.errors import RecordError
from thawline.base.instants import Occurred, from_ms, to_ms
from thawline.ledger.entries import Entry
from thawline.ledger.events import Corrected, EpochBegan, Event, Refused
from thawline.ledger.stored import event_of


@dataclass(frozen=True, slots=True)
class Correction:
    """A correction that counts, and the number of the entry that made it."""

    seq: int
    event: Corrected


Standing = Mapping[int, Correction]
"""The correction that counts for each wrong entry, by the wrong entry's number."""
SeqOf = Callable[[str], int | None]
"""Give the number of the entry with that id, None if there is none."""


def standing(corrections: Iterable[Correction], seq_of: SeqOf) -> dict[int, Correction]:
    """Return which correction counts for which entry; corrections as they were written."""
    counts: dict[int, Correction] = {}
    for made in sorted(corrections, key=lambda made: made.seq, reverse=True):
        over = counts.get(made.seq)
        event = made.event if over is None else replacement(over.event)
        if isinstance(event, Corrected):
            counts.setdefault(_target(made.seq, event, seq_of), Correction(made.seq, event))
    return counts


def replacement(correction: Corrected) -> Event | None:
    """Return the event that counts instead, None if nothing does."""
    if correction.replacement_type is None or correction.replacement_body is None:
        return None
    return event_of(correction.replacement_type, correction.replacement_body)


def counted(entry: Entry, corrections: Standing) -> Entry | None:
    """Return the entry as it counts now, None if it counts as not having happened."""
    correction = corrections.get(entry.seq)
    if correction is None:
        return entry
    event = replacement(correction.event)
    if event is None:
        return None
    when = _occurred(entry, correction.event)
    return replace(
        entry,
        event=event,
        lo_ms=to_ms(when.lo),
        hi_ms=to_ms(when.hi),
        corrected_by=correction.seq,
    )


def marked(entry: Entry, corrections: Standing) -> Entry:
    """Return the entry as written, with the number of the correction it counts as, if any."""
    correction = corrections.get(entry.seq)
    return entry if correction is None else replace(entry, corrected_by=correction.seq)


def check_correction(wrong: Entry | None, correction: Corrected) -> None:
    """
    Look whether a correction makes sense for the entry that it names.

    Raises:
        RecordError: There is no such entry, it is of a sort that is never corrected, or the
            replacement is not an event that could stand in its place.
    """
    if wrong is None:
        raise RecordError(
            f"no entry to correct: {correction.target!r}", advice="thawline journal list"
        )
    if isinstance(wrong.event, Refused | EpochBegan):
        raise RecordError(f"entry {wrong.seq} changed nothing, so it cannot be corrected")
    instead = replacement(correction)
    if isinstance(instead, Refused | EpochBegan) or (
        instead is not None
        and isinstance(instead, Corrected) != isinstance(wrong.event, Corrected)
    ):
        raise RecordError(
            f"entry {wrong.seq} is {type(wrong.event).__name__} and cannot count as"
            f" {correction.replacement_type}",
            advice="undo it and record what happened",
        )
    _occurred(wrong, correction)


def _target(seq: int, event: Corrected, seq_of: SeqOf) -> int:
    target = seq_of(event.target)
    if target is None or target >= seq:
        raise RecordError(f"entry {seq} corrects {event.target!r}, which is no earlier entry")
    return target


def _occurred(entry: Entry, correction: Corrected) -> Occurred:
    lo, hi = correction.occurred_lo_ms, correction.occurred_hi_ms
    if lo is None or hi is None:
        return entry.occurred
    return Occurred(from_ms(lo), from_ms(hi))
