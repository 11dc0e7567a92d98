"""Journal: what happened, as written; one entry and what it counts as; undo and correct."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import time
from typing import Any

from django.http import HttpRequest, HttpResponse
from msgspec import to_builtins

from thawline.app import mending
from thawline.app.acts import Doing, Outcome
from thawline.app.journal import Wanted, listed, named_entry, shown
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import (
    Occurred,
    exactly,
    from_ms,
    local_date,
    local_instant,
    midnight_before,
    read_date,
    read_instant,
)
from thawline.ledger.entries import Entry, Kind
from thawline.web.acts import Form, PageAct
from thawline.web.around import Around, around
from thawline.web.denied import DeniedError
from thawline.web.pages import page
from thawline.web.rights import Way
from thawline.web.screens import Screen
from thawline.web.stations.acts_of_everybody import UNDO_WITHIN
from thawline.web.words import when

MOST = 100
AT = "at"
"""What stands for the time at which something happened, beside the fields of the event."""
_WHOSE = ("vial", "vials", "syringe", "syringes", "person", "place", "lot")
_HEALTH = frozenset({"answers", "reasons", "screening", "serious"})
_HUMP = re.compile(r"(?<=[a-z])(?=[A-Z])")
_CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)


class Correcting(Form, frozen=True):
    """The right value of one field of an entry; "at" is when it happened."""

    entry: str
    field: str
    value: str = "-"


@dataclass(frozen=True, slots=True)
class Line:
    """One entry in a list: in words, about whom or what, and what stands against it."""

    entry: Entry
    what: str
    whose: str
    remark: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the newest entries that are wanted; at a station only one's own."""
    asked = {key: request.GET.get(key, "").strip() for key in ("vial", "person", "day", "kind")}
    with around(request) as round_:
        day = read_date(asked["day"]) if asked["day"] else None
        wanted = Wanted(
            most=MOST,
            since=midnight_before(day, round_.zone) if day else None,
            kind=Kind(asked["kind"]) if asked["kind"] in set(Kind) else None,
            vial=asked["vial"].upper() or None,
            person=asked["person"].upper() or None,
            by=round_.who.name if _only_own(round_) else None,
        )
        lines = [_line(each) for each in reversed(listed(round_.site, wanted))]
        told = {
            "lines": lines,
            "asked": asked,
            "kinds": [each.value for each in Kind],
            "own": _only_own(round_),
            "most": MOST,
        }
        return page(request, round_, "journal", told)


def _only_own(round_: Around) -> bool:
    return round_.who.way("read-journal") is Way.OWN


def _line(entry: Entry) -> Line:
    values = to_builtins(entry.event)
    named = (values.get(field) for field in _WHOSE)
    whose = next((_cell(each) for each in named if each and not isinstance(each, int)), "")
    remark = ", ".join(finding.code for finding in entry.findings)
    return Line(entry, words_of(entry), whose, remark)


def words_of(entry: Entry) -> str:
    """Return what an event is, in words: "Dose drawn"."""
    return _HUMP.sub(" ", type(entry.event).__name__).capitalize()


def _cell(value: Any) -> str:
    if isinstance(value, list | tuple):
        return " ".join(map(str, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def show_one(request: HttpRequest, entry: str) -> HttpResponse:
    """Return one entry as it was written, and what it counts as now."""
    with around(request) as round_:
        found = shown(round_.site, entry)
        if _only_own(round_) and found.entry.by != round_.who.name:
            raise DeniedError("role", "At a station only one's own entries are read.")
        now = found.counts_as
        told = {
            "found": found,
            "what": words_of(found.entry),
            "written": list(_fields(round_, found.entry)),
            "counts": list(_fields(round_, now)) if now and now is not found.entry else [],
            "corrected": found.correction is not None,
            "may_undo": _may_undo(round_, found.entry) and found.correction is None,
            "may_correct": round_.who.may("correct-entry"),
            "at": AT,
        }
        return page(request, round_, "entry", told)


def _fields(round_: Around, entry: Entry) -> Iterator[tuple[str, str]]:
    """Yield the fields of an event; what was said of health only to those who may ask it."""
    may = round_.who.may("screen")
    for name, value in to_builtins(entry.event).items():
        hidden = name in _HEALTH and not may
        said = _moment(round_, value) if name.endswith("_ms") else ""
        yield name, "not yours to see" if hidden else said or _cell(value)


def _moment(round_: Around, value: object) -> str:
    """Return a time as people write it, and nothing for what is not a time."""
    if type(value) is not int:
        return ""
    return when(from_ms(value), (round_.zone, round_.today))


def _may_undo(round_: Around, entry: Entry) -> bool:
    young = round_.at - entry.recorded_at <= UNDO_WITHIN
    return entry.by == round_.who.name and young and round_.who.may("undo-own")


def _correct(site: Site, doing: Doing, form: Correcting) -> Outcome:
    if form.field != AT:
        return mending.correct(site, doing, form.entry, {form.field: form.value})
    return mending.correct(site, doing, form.entry, {}, _when(site, form))


def _when(site: Site, form: Correcting) -> Occurred:
    """Return the right time: a time of the entry's own day, or a full one with its offset."""
    if not _CLOCK.fullmatch(form.value):
        if "T" not in form.value:
            raise RecordError(f"not a time: {form.value!r}", advice="as in 14:02")
        return exactly(read_instant(form.value))
    with site.ledger.view() as view:
        entry = named_entry(view, form.entry)
    day = local_date(entry.occurred.lo, site.zone)
    return exactly(local_instant(day, time.fromisoformat(form.value), site.zone))


ACTS = (
    PageAct(
        "correct-entry",
        "correct-entry",
        Correcting,
        _correct,
        lambda form, _: f"{form.field} is put right; the old line stays",
        undone=False,
    ),
)
SCREENS = (
    Screen("journal", "Journal", "read-journal", show),
    Screen("entry", "Journal", "read-journal", show_one, takes="entry"),
)
