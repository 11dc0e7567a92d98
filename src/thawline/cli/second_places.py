"""`thawline second assign | move | late`: places for second doses, and whom to call."""

import re
from collections.abc import Iterator, Mapping, Sequence, Set
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, time
from typing import Annotated

from cyclopts import Parameter

from thawline.adapters.sites import names
from thawline.app.elsewhere import PlacedThere, not_told, placed_there
from thawline.app.ports import Site
from thawline.app.second import due_on
from thawline.app.second_places import Planned, assign, move_places, placed_before
from thawline.base.errors import RecordError, ThawlineError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, read_date
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting
from thawline.cli.second_pages import (
    CSV_HEAD,
    csv_rows,
    findings,
    late_page,
    move_text,
    planned_data,
    text_of,
    there_findings,
)
from thawline.cli.surroundings import home
from thawline.plan.capacity import places_on
from thawline.rebook.due import Standing

_PLACES = re.compile(r"(?:([a-z][a-z0-9-]*):)?(\d{4}-\d{2}-\d{2})(?:=(\d{1,6}))?", re.ASCII)
_CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)
_NOT_KNOWN = ("staff",)
NOBODY = Acting()
Several = Annotated[Sequence[str], Parameter(negative="")]
"""An option that may be repeated."""


def assign_places(
    *, places: Several = (), otherwise: str = "12:00", acting: Acting = NOBODY
) -> Answer:
    """
    Give a place to everybody who waits for a second dose and has none to come.

    thawline second assign --places 2026-03-04=540 --places 2026-03-05=540 --dry-run --by Rowan
    thawline second assign --places 2026-03-07=200 --by "Rowan Thistle"

    Nobody before day 28, the earliest last day first, at the time of day of the first dose.
    One act for all: journal undo takes it back as one. Who has no place is listed (exit 1).

    Parameters
    ----------
    places
        Places on a day, those booked already among them, as in 2026-03-04=540; repeat for
        each day. A day alone has the places of site.toml; one that is not named is closed.
    otherwise
        The time for people of whose first dose no time is known.
    """
    site = site_named(acting.site)
    days = places_by_site(places, [site])[site.name]
    asked = doing(site, acting)
    if (before := placed_before(site, asked, days)) is not None:
        return recorded(before, site, "places for second doses were given")
    there, unread = _placed_there(site, asked.at)
    taken = frozenset(each.person for each in there)
    found = assign(site, asked, days, clock_of(otherwise), taken)
    return Answer(
        data=planned_data(site, found),
        text=text_of(site, found),
        alerts=[*findings(site, found), *there_findings(there), *unread],
        protocol=found.outcome.protocol if found.outcome else None,
        csv=[CSV_HEAD, *csv_rows(site, found)],
    )


def _placed_there(site: Site, at: Instant) -> tuple[Sequence[PlacedThere], list[Finding]]:
    """Return who has a place at another site of this home, and the sites that did not say."""
    others: list[Site] = []
    unread: list[Finding] = []
    for name in names(home()):
        if name == site.name:
            continue
        try:
            others.append(site_named(name))
        except ThawlineError as error:
            says = f"{name} cannot be read, so nobody knows who has a place there: {error.says}"
            unread.append(Finding(Level.ACT, "site-not-read", says))
    return not_told(site, placed_there([site, *others], at), at), unread


def move(
    *,
    from_: str,
    closed: Several = (),
    places: Several = (),
    acting: Acting = NOBODY,
) -> Answer:
    """
    Put everybody with a place for a second dose on a day that cannot be kept on other days.

    thawline second move --from 2026-03-04 --places 2026-03-07=270 --by Rowan --dry-run
    thawline second move --from 2026-03-04 --closed quillbeck --places quillbeck:2026-03-07=270

    Nobody before day 28, nobody earlier than they were booked. One act at each site, undone
    as one. Who cannot be reached or has no new place is listed (exit 1).

    Parameters
    ----------
    from_
        The day that cannot be kept.
    closed
        A site that is closed on it; repeat for each. The only site here if left out.
    places
        Places on a day, as in 2026-03-07=270; with SITE: in front for that site alone. A day
        without a number has the places of site.toml.
    """
    if acting.site and closed:
        raise UnsaidError("sites are named twice", advice="name them with --closed alone")
    if acting.id and len(closed) > 1:
        raise UnsaidError("one id for several acts", advice="move one site, or leave --id out")
    left = read_date(from_)
    sites = [site_named(name) for name in dict.fromkeys(closed)] or [site_named(acting.site)]
    days = places_by_site(places, sites)
    if acting.id and (before := _moved_before(sites[0], acting, days, left)):
        return before
    # every site is tried before the first is recorded, so that none is moved alone
    for site in sites:
        move_places(site, replace(doing(site, acting), dry_run=True), left, days[site.name])
    found: list[tuple[Site, Planned]] = []
    for site in sites:
        with _told_what_was_moved(found):
            found.append((site, move_places(site, doing(site, acting), left, days[site.name])))
    return Answer(
        data={
            "from": left.isoformat(),
            "sites": [planned_data(site, each) for site, each in found],
            "moved": sum(len(each.slots) for _, each in found),
        },
        text=move_text(left, found),
        alerts=[finding for site, each in found for finding in findings(site, each)],
        not_known=_NOT_KNOWN,
        protocol=next((each.outcome.protocol for _, each in found if each.outcome), None),
        csv=[CSV_HEAD, *(row for site, each in found for row in csv_rows(site, each))],
    )


def _moved_before(
    site: Site, acting: Acting, days: Mapping[str, Mapping[date, int]], left: date
) -> Answer | None:
    before = placed_before(site, doing(site, acting), days[site.name], left)
    return None if before is None else recorded(before, site, f"{left.isoformat()} was moved")


@contextmanager
def _told_what_was_moved(found: Sequence[tuple[Site, Planned]]) -> Iterator[None]:
    """Let an error at one site say which sites were moved before it."""
    try:
        yield
    except ThawlineError as error:
        if done := [site.name for site, each in found if each.outcome]:
            error.advice = f"moved already: {', '.join(done)}. {error.advice}".strip()
        raise


def late(*, on: str | None = None, site: str | None = None) -> Answer:
    """
    List who is past the last day of their window without a second dose, with whom to call.

    thawline second late
    thawline second late --on 2026-03-20 --site harrowmint --csv

    It still counts, and the series is not restarted. Names and phones come from the register
    of this site alone; what is missing there is said.

    Parameters
    ----------
    on
        The local date asked about; today if left out.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    day, found = due_on(place, None if on is None else read_date(on))
    rows = [each for each in found.due if each.standing is Standing.LATE]
    return late_page(place, day, rows, found)


def places_by_site(typed: Sequence[str], sites: Sequence[Site]) -> dict[str, dict[date, int]]:
    """
    Return the places of each site by day; a day without a number has those of its settings.

    Raises:
        RecordError: It has another form, names another site, or a day twice; or a site's
            settings do not say how many.
    """
    _refuse_strangers(typed, frozenset(site.name for site in sites))
    return {site.name: _counted(typed, site) for site in sites}


def _counted(typed: Sequence[str], site: Site) -> dict[date, int]:
    said = _places(typed, site.name)
    return {
        day: places_on(site.second_places, day, site.name) if count is None else count
        for day, count in said.items()
    }


def _places(typed: Sequence[str], site: str) -> dict[date, int | None]:
    """
    Return the places of a site by day; what is said for the site alone counts before the rest.

    Raises:
        RecordError: It has another form, or a day is named twice.
    """
    everywhere: dict[date, int | None] = {}
    here: dict[date, int | None] = {}
    for text in typed:
        name, day, count = _read(text)
        into = here if name == site else everywhere
        if name not in (None, site):
            continue
        if day in into:
            raise RecordError(f"{day.isoformat()} is named twice", advice="name each day once")
        into[day] = count
    return everywhere | here


def _read(text: str) -> tuple[str | None, date, int | None]:
    match = _PLACES.fullmatch(text)
    if match is None:
        raise RecordError(f"not places on a day: {text!r}", advice="write it as 2026-03-07=300")
    name, day, count = match.groups()
    return name, read_date(day), None if count is None else int(count)


def _refuse_strangers(typed: Sequence[str], sites: Set[str]) -> None:
    """Refuse places at a site that is not moved: they would be thought to count."""
    for text in typed:
        name = _read(text)[0]
        if name is not None and name not in sites:
            known = ", ".join(sorted(sites))
            says = f"places at {name}, not one of {known}"
            raise RecordError(says, advice="name one of them, or none for all")


def clock_of(text: str) -> time:
    """Return a time of day as it is typed; RecordError for anything else."""
    match = _CLOCK.fullmatch(text)
    if match is None:
        raise RecordError(f"not a time of day: {text!r}", advice="write it as 13:37")
    return time(int(match.group(1)), int(match.group(2)))
