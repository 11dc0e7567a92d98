"""`thawline second between`: second doses of several sites together; records nothing."""

import re
from collections import Counter

from thawline.adapters import sites
from thawline.app.second_between import Proposal, share_between
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.second_pages import listed
from thawline.cli.second_places import Several, places_by_site
from thawline.cli.surroundings import home
from thawline.cli.text import counted, day_name, table

_APART = re.compile(r"([a-z][a-z0-9-]*):([a-z][a-z0-9-]*)=(\d{1,3}(?:\.\d)?)", re.ASCII)
_HEAD = ("person", "date", "dose", "from site", "site")


def between(*, places: Several = (), apart: Several = (), at: str | None = None) -> Answer:
    """
    Propose the cheapest day and site for everybody without a place, all sites of this home.

    thawline second between --places 2026-03-07=200 --apart quillbeck:oddmoor=3
    thawline second between --places oddmoor:2026-03-07=90 --apart quillbeck:oddmoor=2 --csv

    Records nothing. A day waited costs one, a move what --apart says; between sites that are
    not named nobody moves, and whoever needs help stays. Nobody before day 28.

    Parameters
    ----------
    places
        Places on a day at every site, as in 2026-03-07=200; SITE: in front for that site.
    apart
        What a move between two sites costs, in days waited, as in quillbeck:oddmoor=3.
    at
        The moment asked about; now if left out.
    """
    known = [site_named(name) for name in sites.names(home())]
    if not known:
        raise RecordError("there is no site here yet", advice="thawline site new NAME")
    asked = moment(at, known[0].now(), known[0].zone)
    days = places_by_site(places, [site.name for site in known])
    found = share_between(known, asked, days, dict(map(_apart, apart)))
    rows = [
        [e.given.asked.person, e.given.day.isoformat(), "2", e.home, e.site]
        for e in found.shared.given
    ]
    return Answer(
        data={
            "places": [dict(zip(_KEYS, row, strict=True)) for row in rows],
            "moved": sum(e.home != e.site for e in found.shared.given),
            "cost_days": found.shared.cost,
            "without_place": [
                {"person": e.asked.person, "site": e.home} for e in found.shared.without
            ],
        },
        text=_text(found),
        alerts=_findings(found),
        not_known=[f"first dose of {person} at {site}" for site, person in found.not_known],
        csv=[_HEAD, *rows],
    )


_KEYS = ("person", "day", "dose_number", "from_site", "site")


def _apart(text: str) -> tuple[tuple[str, str], float]:
    match = _APART.fullmatch(text)
    if match is None:
        says = f"not a cost between sites: {text!r}"
        raise RecordError(says, advice="write it as quillbeck:oddmoor=3")
    one, other, cost = match.groups()
    return (one, other), float(cost)


def _text(found: Proposal) -> str:
    given = found.shared.given
    if not (given or found.shared.without):
        return "Nobody to place."
    counts = Counter((e.given.day, e.site, e.home) for e in given)
    rows = [
        [day_name(day), site, home_, f"{people:,}"]
        for (day, site, home_), people in sorted(counts.items())
    ]
    moved = sum(e.home != e.site for e in given)
    people = counted(len(given), "person", "people")
    return (
        f"{table(('day', 'at', 'of', 'people'), rows, right=[3])}\n"
        f"{people} would be placed, {moved:,} of them at another site, "
        f"{len(found.shared.without):,} without. Cost {found.shared.cost:g} days.\n"
        "Nothing is recorded: assign at each site, and book those who move from --csv."
    )


def _findings(found: Proposal) -> list[Finding]:
    without = [f"{each.asked.person} ({each.home})" for each in found.shared.without]
    late = [e.given.asked.person for e in found.shared.given if e.given.late]
    none = "without a place in these days, who waited longest first"
    after = "placed after their last day; it still counts"
    says = [
        ("no-place", without, f"{counted(len(without), 'person', 'people')} {none}"),
        ("placed-late", late, f"{counted(len(late), 'person', 'people')} {after}"),
    ]
    return [
        Finding(Level.ACT, code, f"{text}: {listed(who)}.") for code, who, text in says if who
    ]
