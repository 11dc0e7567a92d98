"""
Which looks of a day are missing, by what was recorded: at tables in use and at displays.

A day is one of work when a vial moved, was opened or was drawn from, or a dose was given.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date

from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.base.errors import RuleError
from thawline.base.findings import Finding
from thawline.base.instants import Instant, date_of_ms, from_ms, local_date, to_ms
from thawline.ledger.entries import Entry, View
from thawline.ledger.events import (
    DoseDrawn,
    DoseGiven,
    ReadingTaken,
    VialMoved,
    VialPunctured,
)
from thawline.rules.cold import Rounds
from thawline.store.rounds import InUse, missing_at_table, missing_entries
from thawline.store.units import ROOM

_WORK = (VialMoved, VialPunctured, DoseDrawn, DoseGiven)
UNNAMED = "the table"


def round_findings(
    site: Site, view: View, day: date, at: Instant, rules: Rounds | None = None
) -> tuple[Finding, ...]:
    """
    Return what is missing of a day's looks until a moment; nothing on a day without work.

    Args:
        site: Its units say which displays there are.
        view: What was recorded.
        day: The local date.
        at: Until when.
        rules: The protocol's rounds; None: of the version in force at the moment.
    """
    asked = rules or _rules(site, view, at)
    if asked is None:
        return ()
    until = to_ms(at)
    entries = [e for e in view.counting() if _on(e, day, site) and e.lo_ms <= until]
    if not any(isinstance(entry.event, _WORK) for entry in entries):
        return ()
    read_at = _looks(entries)
    return (
        *_tables(site, asked, entries, read_at, at),
        *_displays(site, asked, day, read_at),
    )


def _rules(site: Site, view: View, at: Instant) -> Rounds | None:
    try:
        return in_force(site, view, at).protocol.rounds
    except RuleError:
        return None


def _on(entry: Entry, day: date, site: Site) -> bool:
    return date_of_ms(entry.lo_ms, site.zone) == day


def _looks(entries: Iterable[Entry]) -> Mapping[str, Sequence[Instant]]:
    """Return when each display and table was read, by its name."""
    found: dict[str, list[Instant]] = defaultdict(list)
    for entry in entries:
        if isinstance(entry.event, ReadingTaken):
            found[entry.event.unit].append(entry.occurred.lo)
    return found


def _tables(
    site: Site,
    rules: Rounds,
    entries: Sequence[Entry],
    read_at: Mapping[str, Sequence[Instant]],
    at: Instant,
) -> Iterator[Finding]:
    if rules.table is None:
        return
    for table in _in_use(entries, site, at):
        looks = read_at.get(table.table, ())
        yield from missing_at_table(table, looks, rules.table, site.zone, at)


def _in_use(entries: Sequence[Entry], site: Site, at: Instant) -> Iterator[InUse]:
    """Yield each table from the first vial on it until the moment, or the day's last entry."""
    since: dict[str, int] = {}
    for entry in entries:
        if isinstance(entry.event, VialMoved) and entry.event.to == "table":
            name = entry.event.unit or entry.station or UNNAMED
            since[name] = min(entry.lo_ms, since.get(name, entry.lo_ms))
    goes_on = _on(entries[0], local_date(at, site.zone), site)
    last = from_ms(max(entry.lo_ms for entry in entries))
    for name, first in sorted(since.items()):
        yield InUse(name, from_ms(first), None if goes_on else last)


def _displays(
    site: Site, rules: Rounds, day: date, read_at: Mapping[str, Sequence[Instant]]
) -> Iterator[Finding]:
    if rules.display is None:
        return
    for unit in site.units:
        if unit.band != ROOM:
            looks = read_at.get(unit.name, ())
            yield from missing_entries(unit.name, day, looks, rules.display, site.zone)
