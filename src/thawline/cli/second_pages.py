"""What the commands for places of second doses print: days, proof, who is not kept."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from thawline.app.elsewhere import PlacedThere
from thawline.app.ports import Site
from thawline.app.second_places import Contact, Planned, contact_of
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date, local_time, written
from thawline.cli.answers import Answer
from thawline.cli.text import NONE, counted, day_name, table, wrapped
from thawline.plan.second_places import DayLine
from thawline.rebook.due import DueList, SecondDue

CSV_HEAD = ("person", "date", "time", "dose", "site", "name", "phone", "language")
_SHOWN = 40
_LATE = ("person", "first", "days", "late after", "booked", "name", "phone", "language")


def planned_data(site: Site, found: Planned) -> dict[str, Any]:
    """Return the plan for a site as JSON-ready values."""
    plan, receipt = found.assignment, found.outcome.receipt if found.outcome else None
    return {
        "site": site.name,
        "recorded": receipt is not None,
        "seq": receipt.seq if receipt else None,
        "id": str(receipt.id) if receipt else None,
        "placed": len(plan.given),
        "earliest_day": found.earliest_day,
        "latest_delay_days": _longest(found),
        "days_waited": plan.days_waited,
        "days": [_day_data(found, line.day, line.free, line.given) for line in plan.days],
        "places": [
            {"person": person, "slot": written(slot, site.zone)}
            for person, slot in sorted(found.slots.items())
        ],
        "late": [{"person": each.asked.person, "days": each.late} for each in plan.late],
        "without_place": [
            {"person": each.person, "late_after": each.latest.isoformat()}
            for each in plan.without
        ],
        "promises_not_kept": [
            {"late_after": day.isoformat(), "people": people} for day, people in plan.not_kept
        ],
        "not_known": list(found.not_known),
        "not_reachable": unreachable(site, found),
    }


def text_of(site: Site, found: Planned) -> str:
    """Return the plan for a site as people read it: the days, then the proof."""
    return _joined(_site_lines(site, found))


def _joined(parts: Iterable[str | list[str]]) -> str:
    """Return sentences wrapped, and tables as they are."""
    return "\n".join(
        wrapped(each) if isinstance(each, str) else "\n".join(each) for each in parts
    )


def _site_lines(site: Site, found: Planned) -> Iterator[str | list[str]]:
    """Yield the site's name, the table as lines, and each sentence by itself."""
    if not (found.slots or found.assignment.without):
        yield f"{site.name}: nobody to place."
        return
    head = ("day", "free places", "people", "vials at least")
    rows = [
        [day_name(line.day), *map("{:,}".format, _counts(found, line))]
        for line in found.assignment.days
    ]
    yield site.name
    yield table(head, rows, range(1, len(head))).splitlines()
    yield from _proof(found)


def _counts(found: Planned, line: DayLine) -> tuple[int, int, int]:
    return line.free, line.given, _vials(found, line.given)


def move_text(left: date, moves: Sequence[tuple[Site, Planned]]) -> str:
    """Return the move of every site, then what it changes for vials and staff."""
    return _joined(_move_parts(left, moves))


def _move_parts(left: date, moves: Sequence[tuple[Site, Planned]]) -> Iterator[str | list[str]]:
    """Yield what a move came to: sentences not yet wrapped, and tables as lines."""
    moved = sum(len(found.slots) for _, found in moves)
    yield f"{counted(moved, 'place')} {_verb(moves[0][1], 'moved')} from {day_name(left)}."
    for site, found in moves:
        yield ""
        yield from _site_lines(site, found)
    spared = [
        f"{site.name}: up to {counted(_vials(found, len(found.slots)), 'vial')} fewer to thaw"
        for site, found in moves
    ]
    yield ""
    yield (
        f"Vials for {day_name(left)}: {'; '.join(spared)}. A vial that has left the freezer "
        "keeps its clock and is never refrozen. The days above need the vials in their last "
        "column: make the thaw plan of each anew with these bookings."
    )
    yield (
        "Staff: no rota is kept here, so it is not known who can work on the new days. Ask "
        "before people are called."
    )


def _verb(found: Planned, verb: str) -> str:
    return verb if found.outcome and found.outcome.receipt else f"would be {verb}"


def findings(site: Site, found: Planned) -> tuple[Finding, ...]:
    """Return who is not kept, the worst first: no place, late, day 28 not known, no contact."""
    plan = found.assignment
    says = [
        (Level.ACT, "no-place", [each.person for each in plan.without],
         "without a place in these days, who waited longest first", "Name more places."),
        (Level.ACT, "placed-late", [f"{e.asked.person} ({e.late} d)" for e in plan.late],
         "placed after their last day", "It still counts; tell them."),
        (Level.ACT, "day-28-not-known", list(found.not_known),
         "left as they are: the date of the first dose is not known", "Type it from the card."),
        (Level.ACT, "not-reachable", unreachable(site, found),
         "with no phone or mail here", "Find another way to tell them."),
    ]  # fmt: skip
    return tuple(
        Finding(level, code, f"{site.name}: {counted(len(who), 'person', 'people')} {what}: "
                             f"{listed(who)}. {advice}")
        for level, code, who, what, advice in says
        if who
    )  # fmt: skip


def there_findings(placed: Sequence[PlacedThere]) -> tuple[Finding, ...]:
    """Return a check that names who has a place at another site, unknown to their own."""
    if not placed:
        return ()
    who = [f"{e.person} ({e.home}): {e.site}, {e.day.isoformat()}" for e in placed]
    says = (
        f"{counted(len(who), 'person', 'people')} left out, with a place at a site that theirs "
        f"does not know of: {listed(who)}. Where a move was cut off, repeat it with its --id."
    )
    return (Finding(Level.CHECK, "placed-elsewhere", says),)


def unreachable(site: Site, found: Planned) -> list[str]:
    """Return who was given a place and has neither phone nor mail in the register."""
    return [p for p in sorted(found.slots) if not contact_of(site, p).is_reachable]


def csv_rows(site: Site, found: Planned) -> Iterator[list[str]]:
    """Yield the new places as a call list, by time; a name is only read for this."""
    for person, slot in sorted(found.slots.items(), key=lambda each: (each[1], each[0])):
        contact = contact_of(site, person)
        day, clock = local_date(slot, site.zone), local_time(slot, site.zone)
        yield [
            *(person, day.isoformat(), clock.strftime("%H:%M"), "2", site.name),
            *(contact.called or "", contact.phone or "", contact.language or ""),
        ]


def late_page(site: Site, day: date, rows: Sequence[SecondDue], found: DueList) -> Answer:
    """Return the list of who is late, with whom to call; what is missing is said."""
    contacts = [contact_of(site, each.person) for each in rows]
    values = [*map(_values, rows, contacts)]
    shown = [[NONE if value is None else str(value) for value in row] for row in values]
    silent = [e.person for e, c in zip(rows, contacts, strict=True) if not c.is_reachable]
    alerts = []
    if silent:
        says = f"{counted(len(silent), 'person', 'people')} with no phone or mail here: "
        alerts.append(Finding(Level.ACT, "not-reachable", f"{says}{listed(silent)}."))
    if found.not_known:
        says = f"the first dose of {listed(found.not_known)} has no date that can be read"
        alerts.append(Finding(Level.CHECK, "dose-undated", f"{says}. Type it from the card."))
    none = f"Nobody is past the last day of their window on {day.isoformat()}."
    people = counted(len(rows), "person", "people")
    text = f"{table(_LATE, shown, right=[2])}\n{people} late on {day.isoformat()}."
    return Answer(
        data={
            "on": day.isoformat(),
            "late": [dict(zip(_KEYS, row, strict=True)) for row in values],
        },
        text=text if rows else none,
        alerts=alerts,
        not_known=[f"contact of {person}" for person in silent],
        csv=[(*_KEYS, "attempts", "result"), *([*_blank(row), "", ""] for row in values)],
    )


_KEYS = ("person", "first", "days", "late_after", "booked", "name", "phone", "language")


def _values(each: SecondDue, contact: Contact) -> list[Any]:
    return [
        *(each.person, each.counted_from.isoformat(), each.days, each.late_after.isoformat()),
        each.booked.isoformat() if each.booked else None,
        *(contact.called, contact.phone, contact.language),
    ]


def _blank(row: Sequence[Any]) -> list[str]:
    return ["" if value is None else str(value) for value in row]


def _day_data(found: Planned, day: date, free: int, given: int) -> dict[str, Any]:
    return {
        "day": day.isoformat(),
        "free": free,
        "people": given,
        "vials_at_least": _vials(found, given),
    }


def _vials(found: Planned, people: int) -> int:
    """Return the vials that so many doses are in, by the doses the protocol counts on."""
    return -(-people // found.doses_a_vial)


def _longest(found: Planned) -> int | None:
    return max((each.waited for each in found.assignment.given), default=None)


def _proof(found: Planned) -> Iterator[str]:
    plan = found.assignment
    people = counted(len(plan.given), "person", "people")
    yield f"{people} {_verb(found, 'placed')}, {len(plan.without):,} without."
    if plan.given:
        mean = plan.days_waited / len(plan.given)
        yield (
            f"Proof: nobody before their day; the earliest comes on day {found.earliest_day}. "
            f"Longest delay {counted(_longest(found) or 0, 'day')}, "
            f"{plan.days_waited:,} days in all ({mean:.1f} each)."
        )
    if plan.not_kept:
        days = [f"{day_name(day)} ({missed:,})" for day, missed in plan.not_kept]
        yield f"Last days that are not kept: {', '.join(days)}."


def listed(people: Sequence[str]) -> str:
    """Return the people as a list, cut where it is long; the JSON has them all."""
    more = len(people) - _SHOWN
    return ", ".join(people[:_SHOWN]) + (f" and {more:,} more (--json)" if more > 0 else "")
