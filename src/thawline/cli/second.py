"""`thawline second`: when a second dose may come, and who is due."""

from datetime import date
from typing import Any

from cyclopts import App

from thawline.app.second import due_on
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_date
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.text import NONE, counted, table
from thawline.rebook.due import DueList, SecondDue

app = App(name="second", help="Second doses: when one may come, who is due, places, moves.")
app.command("thawline.cli.second_when:when", name="when")
app.command("thawline.cli.second_places:assign_places", name="assign")
app.command("thawline.cli.second_between:between", name="between")
app.command("thawline.cli.second_places:late", name="late")
app.command("thawline.cli.second_places:move", name="move")
app.command("thawline.cli.export_ics:remind", name="remind")


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
    day, found = due_on(site_named(site), None if on is None else read_date(on))
    return Answer(
        data={"on": day.isoformat(), "due": [_row(each) for each in found.due]},
        text=_text(day, found),
        alerts=undated_findings(found),
        not_known=[f"due of {person}" for person in found.not_known],
        csv=[_COLUMNS, *([_row(each)[key] for key in _COLUMNS] for each in found.due)],
    )


_COLUMNS = ("person", "standing", "first", "days", "due", "late_after", "repeats", "booked")


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
