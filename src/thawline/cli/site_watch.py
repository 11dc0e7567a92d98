"""Acts of `thawline site` for the nights: whom to call, in order, and when nobody is there."""

from typing import Any

from thawline.adapters import sites
from thawline.adapters.watch_tables import called_by, hours
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.cli.surroundings import home, note_demo
from thawline.cli.text import table
from thawline.store.calls import Called
from thawline.store.nights import Hours


def chain(*person: str, site: str | None = None) -> Answer:
    """
    Show whom to call about an alert, in order; with people, set it anew.

    thawline site chain
    thawline site chain "Sorrel Kettlewick, vaccine coordinator, 555-0101" \
"Rowan Thistle, site lead, 555-0102" --site harrowmint

    Parameters
    ----------
    person
        Name, role and telephone number, with commas between; in the order of calling.
    site
        The site's name; not needed where there is only one.
    """
    folder = sites.folder_of(home(), site)
    settings = sites.read_settings(folder)
    note_demo(is_demo=settings.demo)
    calls = tuple(called_by(text) for text in person) or settings.calls
    if person:
        sites.put_watch(folder, calls, settings.night)
    return Answer(
        data={"site": folder.name, "set": bool(person), "calls": [_call(c) for c in calls]},
        text=_chain(folder.name, calls),
        alerts=() if calls else [_NOBODY],
        csv=[_COLUMNS, *([str(n), c.name, c.role, c.number] for n, c in enumerate(calls, 1))],
    )


def night(starts: str = "", ends: str = "", *, site: str | None = None) -> Answer:
    """
    Show when nobody is at the site; with two times, set it.

    thawline site night
    thawline site night 18:00 06:00 --site harrowmint

    Parameters
    ----------
    starts
        When the last person leaves, by the clock on the wall.
    ends
        When the first person is back.
    site
        The site's name; not needed where there is only one.
    """
    folder = sites.folder_of(home(), site)
    settings = sites.read_settings(folder)
    note_demo(is_demo=settings.demo)
    if bool(starts) != bool(ends):
        raise RecordError("a night needs two times", advice="thawline site night 18:00 06:00")
    now = hours(starts, ends) if starts else settings.night
    if starts:
        sites.put_watch(folder, settings.calls, now)
    return Answer(
        data={"site": folder.name, "set": bool(starts), **_hours(now)},
        text=_night(folder.name, now),
        not_known=() if now else ["starts", "ends"],
        alerts=() if now else [_NO_NIGHT],
    )


_COLUMNS = ("", "name", "role", "number")
_NOBODY = Finding(
    Level.ACT,
    "no-call-chain",
    "nobody is named to be called about an alert: "
    'thawline site chain "NAME, ROLE, NUMBER" "NAME, ROLE, NUMBER"',
)
_NO_NIGHT = Finding(
    Level.ACT,
    "night-not-known",
    "nobody said when a night begins and ends: thawline site night 18:00 06:00",
)


def _call(one: Called) -> dict[str, Any]:
    return {"name": one.name, "role": one.role, "number": one.number}


def _chain(site: str, calls: tuple[Called, ...]) -> str:
    if not calls:
        return ""
    rows = [[str(n), c.name, c.role, c.number] for n, c in enumerate(calls, 1)]
    head = f"Call chain of {site}; the next is due when nobody answered in time"
    return f"{head}\n{table(_COLUMNS, rows, right=[0])}"


def _hours(night: Hours | None) -> dict[str, str | None]:
    if night is None:
        return {"starts": None, "ends": None}
    return {"starts": f"{night.starts:%H:%M}", "ends": f"{night.ends:%H:%M}"}


def _night(site: str, night: Hours | None) -> str:
    if night is None:
        return ""
    return f"Nobody is at {site} from {night.starts:%H:%M} to {night.ends:%H:%M}"
