"""`thawline closeout`: does the day balance, where is what is missing, and who signs."""

from typing import Any
from zoneinfo import ZoneInfo

from cyclopts import App

from thawline.account.balance import Sheet
from thawline.account.likeliest import GUIDE, spoken_odds
from thawline.account.wastage import Usage, WasteSheet
from thawline.adapters.missing_dose import weights
from thawline.app import closing
from thawline.app.ports import Site
from thawline.base.instants import Instant, local_date, read_date, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting
from thawline.cli.text import NONE, clock_time, counted, day_name, table, wrapped

app = App(name="closeout", help="Does the day balance? Run it, sign it.")
NOBODY = Acting()


@app.command
def run(*, on: str | None = None, site: str | None = None, at: str | None = None) -> Answer:
    """
    Show whether the day balances, what blocks its signatures, and where to look.

    thawline closeout run --site harrowmint
    thawline closeout run --on 2026-02-03 --json

    Parameters
    ----------
    on
        The day; today if left out.
    site
        The site's name; not needed where there is only one.
    at
        The moment asked about; now if left out.
    """
    place = site_named(site)
    when = moment(at, place.now(), place.zone)
    day = read_date(on) if on else local_date(when, place.zone)
    found = closing.close_out(place, day, when, weights())
    return Answer(
        data=close_out_data(found, place, when),
        text=close_out_text(found, place),
        alerts=[*found.blockers, *found.people, *found.rounds],
    )


@app.command
def sign(*, on: str | None = None, acting: Acting = NOBODY) -> Answer:
    """
    Close the day: two people, each by their own entry; refused while anything is open.

    thawline closeout sign --by "Rowan Thistle" --countersign "Bryony Testwick" --pin 284651
    thawline closeout sign --on 2026-02-03 --by Rowan --countersign Bryony --pin 284651

    Parameters
    ----------
    on
        The day; today if left out.
    """
    place = site_named(acting.site)
    asked = doing(place, acting)
    day = read_date(on) if on else local_date(asked.at, place.zone)
    outcome = closing.sign(place, asked, day, weights())
    return recorded(outcome, place, f"{day_name(day)} closed at {place.name}")


def close_out_text(found: closing.CloseOut, site: Site) -> str:
    """Return the page that two people sign."""
    parts = [
        f"Close-out {site.name}, {day_name(found.day)} {found.day.year}",
        _balance(found),
        _waste(found.waste, found.today),
        _searched(found),
        _people(found, site.zone),
        _last_line(found),
    ]
    return "\n\n".join(part for part in parts if part)


_COLUMNS = ("opening", "received", "extra", "given", "wasted", "missing", "sent", "left")
_SHEET = ("doses", *_COLUMNS)


def _balance(found: closing.CloseOut) -> str:
    rows = [_row("today", found.today), _row("all days", found.whole)]
    rows += [_row(f"lot {lot}", each) for lot, each in found.by_lot]
    says = "It balances to the dose." if found.whole.balances else "It does not balance."
    return f"{table(_SHEET, rows, right=range(1, len(_SHEET)))}\n{says}"


def _row(name: str, sheet: Sheet) -> list[str]:
    return [name, *(f"{each:,}" for each in sheet_data(sheet).values())]


def _waste(waste: WasteSheet, today: Sheet) -> str:
    rows = [[each.cause, each.kind or "?", str(each.doses)] for each in waste.causes]
    shown = table(["wasted, by cause", "kind", "doses"], rows, right=[2]) if rows else ""
    rate = f"wastage rate {_percent(waste.usage)}, factor {_factor(waste.usage)}"
    whole = f"since the first day {_percent(waste.cumulative)}"
    says = (
        f"{counted(waste.usage.issued, 'dose')} issued, {today.given:,} given: {rate}; {whole}"
    )
    return "\n".join(part for part in (shown, says, waste.says) if part)


def _percent(usage: Usage) -> str:
    rate = usage.wastage_rate
    return NONE if rate is None else f"{float(100 * rate):.1f} %"


def _factor(usage: Usage) -> str:
    factor = usage.wastage_factor
    return NONE if factor is None else f"{float(factor):.3f}"


def _searched(found: closing.CloseOut) -> str:
    guide = [wrapped(GUIDE)] if found.searches else []
    return "\n".join([*(_search(each) for each in found.searches), *guide])


def _search(search: closing.Search) -> str:
    gap = search.gap
    doses = counted(gap.doses, "dose")
    head = f"{doses} of lot {gap.lot} in {gap.account}: where to look first"
    rows = [
        f"{number}. {likely.place} ({spoken_odds(likely.odds)}): {likely.reason}"
        for number, likely in enumerate(search.places, 1)
    ]
    return "\n".join([head, *(wrapped(f"  {row}", indent=5) for row in rows or [_NO_TRACE])])


_NO_TRACE = "no trace of it in the record of the day; count again"


def _people(found: closing.CloseOut, zone: ZoneInfo) -> str:
    if not found.unrecorded:
        return ""
    rows = [
        [e.person, clock_time(e.at, zone, found.day), e.station or NONE, e.syringe or NONE]
        for e in found.unrecorded
    ]
    return table(["checked, no dose recorded", "when", "station", "syringe"], rows)


def _last_line(found: closing.CloseOut) -> str:
    signed = "signed" if found.signed else "not signed"
    return (
        f"{counted(found.opened_today, 'vial')} opened; {signed}; "
        f"{found.entries:,} entries, head {found.head.hash.hex()[:16]}"
    )


def close_out_data(found: closing.CloseOut, site: Site, at: Instant) -> dict[str, Any]:
    """Return the JSON form of a close-out."""
    return {
        "site": site.name,
        "day": found.day.isoformat(),
        "asked_at": written(at, site.zone),
        "balances": found.whole.balances,
        "today": sheet_data(found.today),
        "all_days": sheet_data(found.whole),
        "by_lot": {lot: sheet_data(each) for lot, each in found.by_lot},
        "waste": _waste_data(found.waste),
        "missing": [_search_data(each) for each in found.searches],
        "unrecorded": [each.person for each in found.unrecorded],
        "vials_opened": found.opened_today,
        "rounds_missing": [each.says for each in found.rounds],
        "signed": found.signed,
        "entries": found.entries,
        "head": found.head.hash.hex(),
    }


def sheet_data(sheet: Sheet) -> dict[str, int]:
    """Return the JSON form of a balance sheet, in doses."""
    return {column: getattr(sheet, column) for column in _COLUMNS}


def _waste_data(waste: WasteSheet) -> dict[str, Any]:
    rate, factor = waste.usage.wastage_rate, waste.usage.wastage_factor
    whole = waste.cumulative.wastage_rate
    return {
        "issued": waste.usage.issued,
        "given": waste.usage.given,
        "rate_percent": None if rate is None else float(100 * rate),
        "factor": None if factor is None else float(factor),
        "cumulative_rate_percent": None if whole is None else float(100 * whole),
        "causes": [
            {"cause": e.cause, "kind": e.kind and str(e.kind), "doses": e.doses}
            for e in waste.causes
        ],
    }


def _search_data(search: closing.Search) -> dict[str, Any]:
    gap = search.gap
    return {
        "account": gap.account,
        "lot": gap.lot,
        "doses": gap.doses,
        "places": [
            {
                "place": each.place,
                "odds": float(each.odds),
                "reason": each.reason,
                "code": each.code,
            }
            for each in search.places
        ],
    }
