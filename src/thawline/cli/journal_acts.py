"""`thawline journal undo | correct`: what makes an earlier entry count differently."""

from typing import Annotated
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.app import mending
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.instants import Instant, Occurred, exactly, to_ms
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting
from thawline.cli.text import NONE

NOBODY = Acting()


def undo(entry: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Let an entry count as not having happened; it stays in the journal.

    thawline journal undo 42 --by "Hazel Rainmoor" --why "wrong vial scanned"
    thawline journal undo 42 --by Hazel --why "wrong lot" --countersign Bryony --pin 284651

    Only while nothing later was recorded on its account; after that, correct it. What buys a
    vial time needs a second person by their own PIN.

    Parameters
    ----------
    entry
        The entry's number or id.
    """
    site = site_named(acting.site)
    outcome = mending.undo(site, doing(site, acting), entry)
    return recorded(outcome, site, f"entry {entry} is undone", {"entry": entry})


def correct(
    entry: str,
    *,
    set_: Annotated[list[str] | None, Parameter(name="--set")] = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Let an entry count as one with other values, or at another time; it stays as written too.

    thawline journal correct 42 --set vial=RA93P --by "Hazel Rainmoor" --why "read wrongly"
    thawline journal correct 42 --set at=10:04 --by Hazel --why "clock was wrong"

    --set at=… and --set until=… say when it happened; a "-" means none, commas part a list.
    What buys a vial time needs a second person by their own PIN.

    Parameters
    ----------
    entry
        The entry's number or id.
    set_
        A field and its right value, as vial=RA93P; may be given several times.
    """
    site = site_named(acting.site)
    now = site.now()
    changes = dict(_pair(text) for text in set_ or [])
    occurred = _occurred(changes, now, site.zone)
    values = {name: _value(name, text, now, site.zone) for name, text in changes.items()}
    outcome = mending.correct(site, doing(site, acting), entry, values, occurred)
    return recorded(outcome, site, f"entry {entry} is corrected", {"entry": entry})


def _pair(text: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not sign or not name.strip():
        raise RecordError(
            f"not a field and its value: {text!r}", advice="as in --set vial=RA93P"
        )
    return name.strip(), value.strip()


def _occurred(changes: dict[str, str], now: Instant, zone: ZoneInfo) -> Occurred | None:
    """Take when it happened out of the changes; None if nothing was said about it."""
    at, until = changes.pop("at", None), changes.pop("until", None)
    if at is None:
        if until is not None:
            raise UnsaidError("until when, but from when?", advice="add --set at=TIME")
        return None
    start = moment(at, now, zone)
    return exactly(start) if until is None else Occurred(start, moment(until, now, zone))


def _value(name: str, text: str, now: Instant, zone: ZoneInfo) -> str:
    """Return the value as the event holds it: a time typed as people do, in milliseconds."""
    is_typed_time = name.endswith("_ms") and text != NONE and not text.isdecimal()
    return str(to_ms(moment(text, now, zone))) if is_typed_time else text
