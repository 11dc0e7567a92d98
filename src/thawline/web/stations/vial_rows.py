"""
The rows of the list of vials, each written once while what it shows stays the same.

Many tablets look at the same list every two seconds, and most of its vials are as they were.
"""

from dataclasses import dataclass
from threading import Lock

from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.template.loader import render_to_string
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from thawline.base.instants import Instant
from thawline.web.around import Around
from thawline.web.batches import Batch, sealed
from thawline.web.once import TOKEN

_OWN_STATION = "<!--of this station-->"
"""Stands in a kept row where each browser's own table goes; no text of a vial can be it."""
_OWN = {"csrf_token": TOKEN, "own_station": mark_safe(_OWN_STATION)}  # noqa: S308
_KEPT_AT_MOST = 2000
_LOCK = Lock()


@dataclass(frozen=True, slots=True)
class _Beside:
    """What a row shows beside its vials."""

    to_table: bool
    ready_at: Instant | None
    to_fridge: bool
    lots: tuple[str, ...]
    day_zone: object
    may_carry: bool
    path: str


@dataclass(frozen=True, slots=True)
class _Row:
    """A row as it was written, and all that went into it."""

    batch: Batch
    beside: _Beside
    html: str


_kept: dict[tuple[str, bool, str, str], _Row] = {}


def rows_for(request: HttpRequest, station: str, written: str) -> SafeString:
    """Return written rows as one browser's own: with its token, and the table it stands at."""
    told = written.replace(TOKEN, get_token(request)).replace(_OWN_STATION, escape(station))
    return mark_safe(told)  # noqa: S308  written by a template


def rows_of(round_: Around, batches: list[Batch], path: str, *, may_carry: bool) -> str:
    """Return the rows of the table as everybody's, to be finished by `rows_for`."""
    return "".join(_row(round_, each, path, may_carry=may_carry) for each in batches)


def sealed_of(round_: Around, path: str) -> str:
    """Return the sealed cartons as everybody's, to be finished by `rows_for`; empty: none."""
    told = {
        "sealed": sealed(round_),
        "lots": round_.lots,
        "day_zone": (round_.zone, round_.today),
        "path": path,
        **_OWN,
    }
    if not told["sealed"]:
        return ""
    return render_to_string("vials-sealed.html", told, using=round_.language)


def _row(round_: Around, batch: Batch, path: str, *, may_carry: bool) -> str:
    beside = _Beside(
        to_table=batch.to_table is not None,
        ready_at=batch.to_table.ready_at if batch.to_table else None,
        to_fridge=batch.to_fridge is not None,
        lots=round_.lots,
        day_zone=(round_.zone, round_.today),
        may_carry=may_carry,
        path=path,
    )
    key = (batch.first.code, may_carry, path, round_.language)
    with _LOCK:
        kept = _kept.get(key)
    if kept is not None and kept.beside == beside and _same(kept.batch, batch):
        return kept.html
    told = {"batch": batch, "beside": beside, **_OWN}
    html = render_to_string("vials-row.html", told, using=round_.language)
    fresh = _Row(batch, beside, html)
    with _LOCK:
        if len(_kept) >= _KEPT_AT_MOST:
            _kept.clear()
        _kept[key] = fresh
    return fresh.html


def _same(one: Batch, other: Batch) -> bool:
    """Say whether both are of the very same vials, as they were reckoned."""
    return len(one.vials) == len(other.vials) and all(map(_is, one.vials, other.vials))


def _is(one: object, other: object) -> bool:
    return one is other
