"""`thawline second`: when a second dose may come, and who is due."""

from datetime import date
from typing import Any

from cyclopts import App

from thawline.app import calculators
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.reading import rules_for
from thawline.cli.text import NONE, counted, table
from thawline.rebook.due import DueList, SecondDue

app = App(name="second", help="Second doses: when one may come, who is due, places, moves.")
app.command("thawline.cli.second_places:assign_places", name="assign")
app.command("thawline.cli.second_between:between", name="between")
app.command("thawline.cli.second_places:late", name="late")
app.command("thawline.cli.second_places:move", name="move")
app.command("thawline.cli.export_ics:remind", name="remind")


@app.command
def when(
    *,
    first: str,
    given: str | None = None,
    on: str | None = None,
    protocol: str | None = None,
) -> Answer:
    """
    Say when a second dose may be booked, and what one given on a day counts as.

    thawline second when --first 2026-02-03
    thawline second when --first 2021-01-01 --given 2021-01-21 --protocol published-2021-12

    Days are calendar dates; the day of the first dose is day 0. Records nothing.

    Parameters
    ----------
    first
        The date of the first dose.
    given
        The date on which the second dose was given.
    on
        The date that is asked about.
    protocol
        A protocol id or file. Left out, it is the published guidance in force at --on, else
        --given, else --first.
    """
    days = read_date(first), _date(given), _date(on)
    rules = rules_for(protocol, calculators.asked_at(*days))
    found = calculators.second_when(*days, rules.protocol.schedule.dose_2)
    judgement, dates = found.judgement, found.dates
    repeat = judgement.repeat_not_before if judgement else None
    return Answer(
        data={
            "earliest_valid": dates.earliest_valid.isoformat(),
            "earliest_bookable": dates.earliest_bookable.isoformat(),
            "due": dates.due.isoformat(),
            "late_after": dates.late_after.isoformat(),
            "verdict": judgement.verdict.value if judgement else None,
            "says": found.says,
            "repeat_not_before": repeat.isoformat() if repeat else None,
        },
        text=found.says,
        alerts=judgement.findings if judgement else (),
        protocol=rules.ref,
    )


@app.command
def due(*, on: str | None = None, site: str | None = None) -> Answer:
    """
    List everybody whose second dose is due on a day, the longest due first.

    thawline second due
    thawline second due --on 2026-03-03 --site harrowmint --json

    Parameters
    ----------
    on
        The local date asked about; today if left out.
    site
        The site's name; not needed where there is only one.
    """
    from thawline.app import second  # noqa: PLC0415  only here is a site opened
    from thawline.cli.acting import site_named  # noqa: PLC0415

    day, found = second.due_on(site_named(site), _date(on))
    return Answer(
        data={"on": day.isoformat(), "due": [_row(each) for each in found.due]},
        text=_text(day, found),
        alerts=undated_findings(found),
        not_known=[f"due of {person}" for person in found.not_known],
        csv=[_COLUMNS, *([_row(each)[key] for key in _COLUMNS] for each in found.due)],
    )


_COLUMNS = ("person", "standing", "first", "days", "due", "late_after", "repeats", "booked")


def _date(text: str | None) -> date | None:
    return None if text is None else read_date(text)


def _row(each: SecondDue) -> dict[str, Any]:
    return {
        "person": each.person,
        "standing": each.standing.value,
        "first": each.counted_from.isoformat(),
        "days": each.days,
        "due": each.due.isoformat(),
        "late_after": each.late_after.isoformat(),
        "repeats": each.repeats,
        "booked": each.booked.isoformat() if each.booked else None,
    }


def _text(day: date, found: DueList) -> str:
    if not found.due:
        return f"Nobody's second dose is due on {day.isoformat()}."
    rows = [[_cell(_row(each)[key]) for key in _COLUMNS] for each in found.due]
    people = counted(len(found.due), "person", "people")
    return f"{table(_COLUMNS, rows, right=[3])}\n{people} due on {day.isoformat()}."


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else NONE
    return NONE if value is None else str(value)


def undated_findings(found: DueList) -> tuple[Finding, ...]:
    """Return a check that names the people whose second dose nobody can date."""
    if not found.not_known:
        return ()
    says = (
        f"{counted(len(found.not_known), 'person', 'people')} with a dose whose date cannot be "
        f"read: {', '.join(found.not_known)}. Type it from the card."
    )
    return (Finding(Level.CHECK, "dose-undated", says),)
