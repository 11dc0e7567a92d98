"""`thawline site`: make a site's folder, show it, name its units, give out PINs."""

from typing import Annotated, Any

from cyclopts import App, Parameter

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import mint_with
from thawline.adapters.time import now
from thawline.adapters.wiring import make_site, open_site
from thawline.app.units import check_band
from thawline.base.errors import RecordError, ThawlineError
from thawline.base.findings import Finding, Level
from thawline.base.roles import Role
from thawline.cli import site_watch
from thawline.cli.answers import Answer
from thawline.cli.options import Number
from thawline.cli.surroundings import home
from thawline.cli.text import table
from thawline.ledger.site import KEY, SITE
from thawline.plan.capacity import SecondPlaces
from thawline.store.units import FOLLOWED, Followed, StorageUnit

Yes = Annotated[bool, Parameter(negative="")]
app = App(name="site", help="A site's folder: make one, show it, name units, give out PINs.")


@app.command
def new(name: str, *, zone: str, title: str = "", demo: Yes = False) -> Answer:
    """
    Make a new site with an empty ledger and keys of its own.

    thawline site new harrowmint --zone America/Chicago --title "Harrowmint Hall"
    thawline site new rehearsal --zone America/Chicago --demo

    Parameters
    ----------
    name
        Small letters, digits and hyphens.
    zone
        The IANA name of its time zone.
    title
        Its name as people say it.
    demo
        Mark everything of this site as invented.
    """
    settings = sites.Settings(name, title or name.capitalize(), zone, demo)
    folder = make_site(home(), settings, mint_with(now)())
    next_step = f"thawline protocol adopt FILE --site {name} --by NAME"
    return Answer(
        data={"site": name, "folder": str(folder), "zone": zone, "demo": demo},
        text=f"Site {name} made in {folder}\nNext: {next_step}",
    )


@app.command
def show(*, site: str | None = None) -> Answer:
    """
    Show the sites here, or one of them.

    thawline site show
    thawline site show --site harrowmint --json

    Parameters
    ----------
    site
        The site's name; all of them if left out.
    """
    found, alerts = [_site(site)] if site else [], []
    for name in () if site else sites.names(home()):
        try:
            found.append(_site(name))
        except ThawlineError as error:
            says = f"site {name} cannot be read: {error.says}"
            alerts.append(Finding(Level.ACT, "site-not-readable", says))
    rows = [["-" if one[key] is None else str(one[key]) for key in _COLUMNS] for one in found]
    none = "" if alerts else "No site here yet: thawline site new NAME"
    shown = table(_COLUMNS, rows, right=[3]) if rows else none
    units = "\n\n".join(_units_text(one) for one in found if site or one["units"])
    says = "\n".join(filter(None, map(_says, found)))
    text = "\n\n".join(filter(None, [shown, units, says]))
    return Answer(data={"sites": found}, text=text, alerts=alerts)


_COLUMNS = ("site", "title", "zone", "entries", "protocol")


def _site(name: str) -> dict[str, Any]:
    folder = sites.folder_of(home(), name)
    settings = sites.read_settings(folder)
    with open_site(home(), name).ledger.view() as view:
        state, head = view.one(SITE, KEY), view.head
    versions = [each.ref for each in state.adopted] if state else []
    return {
        "site": name,
        "title": settings.title,
        "zone": settings.zone,
        "demo": settings.demo,
        "entries": head.seq,
        "epoch": head.epoch,
        "head": head.hash.hex(),
        "protocol": versions[-1].id if versions else None,
        "versions": [ref.version for ref in versions],
        "vials_coded": state.coded if state else 0,
        "units": [_unit_data(unit) for unit in settings.units],
        "refuses_without": sorted(settings.refuses_without),
        "second_doses": _places_data(settings.second_places),
    }


def _places_data(places: SecondPlaces | None) -> dict[str, Any] | None:
    if places is None:
        return None
    on = {day.isoformat(): count for day, count in sorted(places.on.items())}
    return {"a_day": places.a_day, "on": on}


def _says(one: dict[str, Any]) -> str:
    """Return what else the settings of a site say; nothing where they are silent."""
    lines = []
    if one["refuses_without"]:
        lines.append(f"A dose is refused without: {', '.join(one['refuses_without'])}.")
    if places := one["second_doses"]:
        days = [f"{day} {count:,}" for day, count in places["on"].items()]
        a_day = "-" if places["a_day"] is None else f"{places['a_day']:,}"
        lines.append(f"Places a day for second doses: {', '.join([a_day, *days])}.")
    return "\n".join(lines)


_UNIT_COLUMNS = ("unit", "band", "how it is known", "accuracy °C", "title")


def _unit_data(unit: StorageUnit) -> dict[str, Any]:
    return {
        "unit": unit.name,
        "band": unit.band,
        "followed": unit.followed.value,
        "accuracy_c": None if unit.accuracy_c is None else float(unit.accuracy_c),
        "title": unit.title,
    }


def _units_text(one: dict[str, Any]) -> str:
    if not one["units"]:
        return "No storage units named: thawline site unit fridge-1 --band refrigerator"
    rows = [
        [
            unit["unit"],
            unit["band"],
            FOLLOWED[Followed(unit["followed"])],
            "as the protocol" if unit["accuracy_c"] is None else str(unit["accuracy_c"]),
            unit["title"] or "-",
        ]
        for unit in one["units"]
    ]
    return f"Storage units of {one['site']}\n{table(_UNIT_COLUMNS, rows, right=[3])}"


@app.command
def unit(
    name: str,
    *,
    band: str,
    followed: Followed = Followed.BY_HAND,
    title: str = "",
    accuracy_c: Number = None,
    site: str | None = None,
) -> Answer:
    """
    Name a freezer, a refrigerator or a table of the site, and the band it must keep.

    thawline site unit fridge-1 --band refrigerator --followed by-hand --title "Blue fridge"
    thawline site unit freezer-1 --band frozen --followed at-download --accuracy-c 0.5

    Parameters
    ----------
    name
        As it is called in every command: small letters, digits and hyphens.
    band
        The band of the protocol: frozen, refrigerator, or room for a table.
    followed
        How its temperature is known: live, by-hand or at-download.
    title
        Its name as people say it.
    accuracy_c
        How far its logger may be off either way, from its certificate; in degrees Celsius.
    site
        The site's name; not needed where there is only one.
    """
    folder = sites.folder_of(home(), site)
    place = open_site(home(), folder.name)
    check_band(place, band)
    named = StorageUnit(name, band, followed, accuracy_c, title)
    sites.put_unit(folder, named)
    says = f"{name} of {folder.name}: band {band}, {FOLLOWED[followed]}"
    return Answer(data={"site": folder.name, **_unit_data(named)}, text=says)


@app.command
def pin(name: str, pin: str, *, role: str | None = None, site: str | None = None) -> Answer:
    """
    Give a person a PIN, by which they are the second person of an act.

    thawline site pin "Bryony Testwick" 284651 --role "clinical lead" --site harrowmint
    thawline site pin "Rowan Thistle" 730164

    Parameters
    ----------
    name
        The person, as they are named with --countersign.
    pin
        Six digits or more, not all the same.
    role
        clinical lead, for whoever may clear a referral; a new PIN without it ends it.
    site
        The site's name; not needed where there is only one.
    """
    folder = sites.folder_of(home(), site)
    FilePins(folder / sites.KEYS).put(name, pin, _role(role))
    says = f"{name} has a PIN at {folder.name}" + (f", as {role}" if role else "")
    return Answer(data={"site": folder.name, "name": name, "role": role}, text=says)


def _role(name: str | None) -> Role | None:
    if name is not None and name not in set(Role):
        raise RecordError(f"no role {name!r}", advice=f"one of {', '.join(Role)}")
    return None if name is None else Role(name)


for _verb in (site_watch.chain, site_watch.night):
    app.command(_verb)
