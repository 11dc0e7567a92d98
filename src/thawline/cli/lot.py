"""`thawline lot`: hold a whole lot in one act, release it, and list who had it."""

from cyclopts import App

from thawline.app import holds
from thawline.base.instants import local_date, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.text import clock_time, counted, table
from thawline.cli.vial_travel import out_data, out_text

app = App(name="lot", help="A whole lot: hold it everywhere, release it, who had it.")
NOBODY = Acting()


@app.command
def hold(lot: str, *, notice: str = "", acting: Acting = NOBODY) -> Answer:
    """
    Hold a lot: cartons, vials and every drawn syringe of it.

    thawline lot hold ZZ-1014 --why "withdrawn" --notice UV-2026-03 --by "Rowan Thistle"
    thawline lot hold ZZ-1014 --why "asked by the health unit" --by "Rowan Thistle"

    Parameters
    ----------
    lot
        The lot as printed.
    notice
        The number of the notice.
    """
    site = site_named(acting.site)
    outcome, out = holds.hold_lot(site, doing(site, acting), lot, notice)
    return recorded(outcome, site, out_text(f"lot {lot}", out), out_data(out))


@app.command
def release(lot: str, *, notice: str = "", acting: Acting = NOBODY) -> Answer:
    """
    End the hold on a lot: a reason, and a second person's own PIN.

    thawline lot release ZZ-1014 --why lifted --by Rowan --countersign Bryony --pin 284651
    thawline lot release ZZ-1014 --why "wrong lot" --notice UV-2026-04 --by Rowan

    Parameters
    ----------
    lot
        The lot as printed.
    notice
        The number of the notice.
    """
    site = site_named(acting.site)
    outcome = holds.release_lot(site, doing(site, acting), lot, notice)
    return recorded(outcome, site, f"lot {lot} released")


@app.command
def people(lot: str, *, site: str | None = None) -> Answer:
    """
    List who had a dose of a lot here, with phone and language.

    thawline lot people ZZ-1014 --site harrowmint
    thawline lot people ZZ-1014 --csv

    Parameters
    ----------
    lot
        The lot as printed.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    found = holds.people_of_lot(place, lot)
    today = local_date(place.now(), place.zone)
    data = [
        {
            "site": place.name,
            "person": each.person,
            "name": each.name.called if each.name else None,
            "phone": each.name.phone if each.name else None,
            "language": each.name.language if each.name else None,
            "given_at": written(each.given_at, place.zone),
            "dose_number": each.dose_number,
            "vial": each.vial,
        }
        for each in found
    ]
    rows = [
        [
            each.person,
            each.name.called if each.name else "?",
            (each.name.phone if each.name else "") or "?",
            (each.name.language if each.name else "") or "?",
            clock_time(each.given_at, place.zone, today),
        ]
        for each in found
    ]
    shown = table(["person", "name", "phone", "language", "given"], rows)
    keys = ["site", "person", "name", "phone", "language", "given_at", "dose_number", "vial"]
    says = f"{counted(len(found), 'person', 'people')} had lot {lot} at {place.name}"
    return Answer(
        data={"lot": lot, "people": data},
        text=f"{shown}\n{says}",
        csv=[keys, *([each[key] for key in keys] for each in data)],
    )
