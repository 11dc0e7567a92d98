"""`thawline booking`: load a file of bookings, list them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from cyclopts import App, Parameter

from thawline.app.bookings import Listed, Loaded, list_bookings, load_bookings
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date, read_date, written
from thawline.cli.acting import doing
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.booking_files import LAYOUT, Layout, read_file
from thawline.cli.options import Acting
from thawline.cli.text import clock_time, counted, table, wrapped
from thawline.exchange.bookings import ReadBookings, Remark

app = App(name="booking", help="Bookings: load a file, list.")
_SHOWN_LINES = 12


@app.command
def load(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    by: str = "",
    site: str | None = None,
    at: str | None = None,
    dry_run: Annotated[bool, Parameter(negative="")] = False,
    layout: Layout = LAYOUT,
) -> Answer:
    """
    Book everybody in a CSV or XLSX file; the same file twice changes nothing.

    thawline booking load tuesday.csv --dry-run --by "Sorrel Kettlewick"
    thawline booking load citas.xlsx --date-order dmy --column name=Paciente --by Sorrel

    Rows that cannot be booked are listed with their line and the reason (exit 1).

    Parameters
    ----------
    file
        The file; - reads standard input.
    by
        Who loads it.
    site
        The site's name; not needed where there is only one.
    at
        When it is loaded; now if left out.
    dry_run
        Say what would be booked, and record nothing.
    """
    place = site_named(site)
    read = read_file(file, place.zone, layout)
    asked = doing(place, Acting(by=by, site=site, at=at, dry_run=dry_run))
    loaded = load_bookings(place, asked, read)
    return Answer(
        data={
            "read_as": read.read_as,
            "rows": len(read.rows) + len(read.bad),
            "booked": loaded.booked,
            "already_there": loaded.already,
            "new_people": loaded.new_people,
            "recorded": loaded.recorded,
            "bad_rows": [{"line": bad.line, "reason": bad.reason} for bad in loaded.bad],
            "remarks": [{"line": each.line, "says": each.says} for each in loaded.remarks],
            "site": place.name,
        },
        text=_text(read, loaded),
        alerts=_alerts(loaded),
        not_known=read.not_said,
        protocol=loaded.protocol,
    )


@app.command(name="list")
def list_(*, on: str | None = None, site: str | None = None) -> Answer:
    """
    List the bookings of a day, or all of them.

    thawline booking list --on 2026-02-03
    thawline booking list --json

    Parameters
    ----------
    on
        The day, as in 2026-02-03; every day if left out.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    day = None if on is None else read_date(on)
    found = list_bookings(place, day)
    head = ["time", "person", "name", "dose", "language", "help", "group", "had dose"]
    rows = [_row(each, place.zone, day) for each in found]
    shown = table(head, rows, right=[3]) if rows else "Nobody is booked."
    return Answer(
        data={"bookings": [_values(each, place.zone) for each in found], "site": place.name},
        text=f"{shown}\n{counted(len(found), 'booking')}.",
        csv=[head, *rows],
    )


def _row(each: Listed, zone: ZoneInfo, day: date | None) -> list[str]:
    return [
        clock_time(each.slot, zone, day),
        each.person,
        each.name or "?",
        str(each.dose_number),
        each.language or "-",
        each.needs or "-",
        each.group or "-",
        "yes" if each.had_dose else "-",
    ]


def _values(each: Listed, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "slot": written(each.slot, zone),
        "day": local_date(each.slot, zone).isoformat(),
        "person": each.person,
        "name": each.name,
        "dose_number": each.dose_number,
        "language": each.language or None,
        "needs": each.needs or None,
        "group": each.group or None,
        "had_dose": each.had_dose,
    }


def _text(read: ReadBookings, loaded: Loaded) -> str:
    verb = "booked" if loaded.recorded else "would be booked"
    says = [
        wrapped(f"{read.read_as[:1].upper()}{read.read_as[1:]}."),
        f"{loaded.booked:,} {verb}, {loaded.already:,} already there, {len(loaded.bad):,} bad.",
    ]
    if "dose" in read.not_said:
        says.append(
            "No dose column: the next dose by the record here, the first where none is."
        )
    if loaded.bad:
        rows = [[str(bad.line), bad.reason] for bad in loaded.bad]
        says.append(table(["line", "not booked, because"], rows, right=[0]))
    says += _grouped(loaded.remarks)
    return "\n".join(says)


def _grouped(remarks: Iterable[Remark]) -> list[str]:
    """Return one line for each thing remarked, with the lines of the file it is about."""
    lines: dict[str, list[int]] = defaultdict(list)
    for remark in remarks:
        lines[remark.says].append(remark.line)
    return [wrapped(f"{_lines(where)}: {says}") for says, where in lines.items()]


def _lines(where: Sequence[int]) -> str:
    shown = ", ".join(map(str, where[:_SHOWN_LINES]))
    more = len(where) - _SHOWN_LINES
    return f"line{'s' if len(where) > 1 else ''} {shown}" + (
        f" and {more:,} more" if more > 0 else ""
    )


def _alerts(loaded: Loaded) -> tuple[Finding, ...]:
    """Return what somebody must look at: rows that were not booked, and possible doubles."""
    found = []
    if loaded.bad:
        rows = counted(len(loaded.bad), "row")
        says = f"{rows} not booked. Correct the file and load it again, or book by hand."
        found.append(Finding(Level.ACT, "bad-rows", says))
    if loaded.remarks:
        rows = counted(len({remark.line for remark in loaded.remarks}), "row")
        found.append(Finding(Level.CHECK, "look-at-rows", f"{rows} to look at, listed below."))
    return tuple(found)
