"""
The journal: what was recorded, by whom and when, and what each entry counts as now.

Entries are shown as they were written; one that was corrected says by which entry.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from thawline.app.not_here import not_here
from thawline.app.ports import Site
from thawline.app.supposed import counts_as, entry_at
from thawline.base.errors import NotFoundError
from thawline.base.instants import Instant
from thawline.ledger.entries import Entry, Kind, View
from thawline.person.fold import PERSON
from thawline.vial.folds import VIAL
from thawline.vial.syringes import SYRINGE

_AT_A_TIME = 512


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which entries are asked for; None leaves a question open. The newest `most` of them."""

    most: int
    since: Instant | None = None
    kind: Kind | None = None
    vial: str | None = None
    person: str | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """An entry as written, what it counts as now (None: nothing), and its correction if any."""

    entry: Entry
    counts_as: Entry | None
    correction: Entry | None


def listed(site: Site, wanted: Wanted) -> list[Entry]:
    """Return the newest entries that are wanted, as written, oldest first."""
    with site.ledger.view() as view:
        found: list[Entry] = []
        for entry in _newest_first(view, wanted):
            if wanted.since is not None and entry.recorded_at < wanted.since:
                break
            if wanted.kind in (None, entry.kind) and wanted.by in (None, entry.by):
                found.append(entry)
            if len(found) == wanted.most:
                break
    return found[::-1]


def shown(site: Site, named: str) -> Shown:
    """Return one entry by its id or number, with what it counts as now."""
    with site.ledger.view() as view:
        entry = named_entry(view, named)
        correction = None if entry.corrected_by is None else entry_at(view, entry.corrected_by)
        return Shown(entry, counts_as(view, entry), correction)


def named_entry(view: View, named: str) -> Entry:
    """
    Return the entry with that id or number, as written.

    Raises:
        NotFoundError: There is none.
    """
    if named.isdecimal():
        return entry_at(view, int(named))
    try:
        entry = view.entry(UUID(named))
    except ValueError:
        entry = None
    if entry is None:
        raise NotFoundError(f"no entry {named!r} here", advice="thawline journal list")
    return entry


def _newest_first(view: View, wanted: Wanted) -> Iterator[Entry]:
    if wanted.vial is None and wanted.person is None:
        yield from _all_newest_first(view)
        return
    numbers: set[int] | None = None
    for numbered in _of_things(view, wanted):
        numbers = numbered if numbers is None else numbers & numbered
    yield from (entry_at(view, seq) for seq in sorted(numbers or (), reverse=True))


def _all_newest_first(view: View) -> Iterator[Entry]:
    before = view.head.seq
    while before > 0:
        since = max(before - _AT_A_TIME, 0)
        yield from reversed(list(view.entries(since=since, most=before - since)))
        before = since


def _of_things(view: View, wanted: Wanted) -> Iterator[set[int]]:
    if wanted.vial is not None:
        drawn = [key for key, state in view.all(SYRINGE) if state.vial == wanted.vial]
        found = view.history(VIAL, wanted.vial)
        found += [entry for key in drawn for entry in view.history(SYRINGE, key)]
        if not found:
            raise not_here("vial", wanted.vial, [key for key, _ in view.all(VIAL)])
        yield _with_corrections(found)
    if wanted.person is not None:
        found = view.history(PERSON, wanted.person)
        if not found:
            raise NotFoundError(f"nothing is recorded of {wanted.person}")
        yield _with_corrections(found)


def _with_corrections(entries: list[Entry]) -> set[int]:
    made = {entry.corrected_by for entry in entries}
    return {entry.seq for entry in entries} | {seq for seq in made if seq is not None}
