"""`thawline second between`: second doses of several sites together, moves recorded at both."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from cyclopts import Parameter

from thawline.adapters import sites
from thawline.app.acts import Doing
from thawline.app.ports import Site
from thawline.app.second_between import Proposal, Stays, share_between
from thawline.app.second_moves import Going, Move, finished_moves, record_moves
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import local_date
from thawline.cli.acting import doing
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting, Yes
from thawline.cli.second_pages import listed, there_findings
from thawline.cli.second_places import Several, clock_of, places_by_site
from thawline.cli.surroundings import home
from thawline.cli.text import counted, day_name, table

_APART = re.compile(r"([a-z][a-z0-9-]*):([a-z][a-z0-9-]*)=(\d{1,3}(?:\.\d)?)", re.ASCII)
_HEAD = ("person", "date", "dose", "from site", "site")


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Recording:
    """
    Who records the moves, when, and under which id.

    Parameters
    ----------
    at
        The moment asked about; now if left out.
    by
        Who records the moves; left out, nothing is recorded.
    id
        The id of this act: the same id again finishes what was cut off, and plans nobody anew.
    dry_run
        Look whether the moves could be recorded, and record nothing.
    """

    at: str | None = None
    by: str = ""
    id: str | None = None
    dry_run: Yes = False


ASKED = Recording()


def between(
    *,
    places: Several = (),
    apart: Several = (),
    otherwise: str = "12:00",
    recording: Recording = ASKED,
) -> Answer:
    """
    Share out everybody without a place over all sites of this home, at the least cost.

    thawline second between --places 2026-03-07=200 --apart quillbeck:oddmoor=3
    thawline second between --places 2026-03-07 --apart quillbeck:oddmoor=2 --by Rowan

    A day waited costs one, a move what --apart says; between sites that are not named nobody
    moves, and whoever needs help stays. Nobody before day 28. With --by the moves are
    recorded at both sites; those who stay are placed by second assign at their own.

    Parameters
    ----------
    places
        Places on a day at every site, as in 2026-03-07=200; SITE: in front for that site. A
        day without a number has the places of each site.toml.
    apart
        What a move between two sites costs, in days waited, as in quillbeck:oddmoor=3.
    otherwise
        The time for people of whose first dose no time is known.
    """
    known = [site_named(name) for name in sites.names(home())]
    if not known:
        raise RecordError("there is no site here yet", advice="thawline site new NAME")
    here = {site.name: site for site in known}
    acting = _acting(known, recording)
    if recording.id and not recording.dry_run and (begun := finished_moves(here, acting)):
        return _before(begun, here, recording.id)
    asked = moment(recording.at, known[0].now(), known[0].zone)
    days = places_by_site(places, known)
    found = share_between(known, asked, days, dict(map(_apart, apart)))
    moves: Sequence[Move] = ()
    if recording.by:
        moves = record_moves(here, acting, found.shared.given, days, clock_of(otherwise))
    return _answer(found, moves, acting[known[0].name].id)


def _acting(known: Sequence[Site], said: Recording) -> dict[str, Doing]:
    """Return the act at each site: one id for all of them."""
    if said.id and not said.by.strip():
        raise UnsaidError("nobody is named for this act", advice="add --by NAME")
    one = said.id or str(known[0].mint())
    acting = Acting(by=said.by, at=said.at, id=one, dry_run=said.dry_run)
    return {site.name: doing(site, acting) for site in known}


def _before(moves: Sequence[Move], here: Mapping[str, Site], entry: str) -> Answer:
    """Return the answer to the same id again: what was recorded, and nobody planned anew."""
    rows = [
        [e.person, _day(e, here[each.site]), "2", each.home, each.site]
        for each in moves
        for e in each.people
    ]
    return Answer(
        data={
            "places": [dict(zip(_KEYS, row, strict=True)) for row in rows],
            "moved": len(rows),
            "cost_days": None,
            "without_place": None,
            "moves": [_move(each) for each in moves],
            "id": entry,
        },
        text=f"Recorded before, nobody is planned anew.\n{_recorded(moves)}",
        not_known=("cost_days", "without_place"),
        csv=[_HEAD, *rows],
    )


def _day(each: Going, site: Site) -> str:
    return local_date(each.slot, site.zone).isoformat()


def _answer(found: Proposal, moves: Sequence[Move], entry: UUID) -> Answer:
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
            "moves": [_move(each) for each in moves],
            "id": str(entry) if moves else None,
        },
        text=_text(found, moves),
        alerts=[*_findings(found), *there_findings(found.there)],
        not_known=[f"first dose of {person} at {site}" for site, person in found.not_known],
        csv=[_HEAD, *rows],
    )


def _move(each: Move) -> dict[str, Any]:
    passed, taken = each.passed_on.receipt, each.taken_over.receipt
    return {
        "from_site": each.home,
        "site": each.site,
        "recorded": passed is not None and taken is not None,
        "again": passed is not None and passed.again,
        "seq_there": taken.seq if taken else None,
        "seq_at_home": passed.seq if passed else None,
        "people": [{"person": e.person, "code_there": e.there} for e in each.people],
    }


_KEYS = ("person", "day", "dose_number", "from_site", "site")


def _apart(text: str) -> tuple[tuple[str, str], float]:
    match = _APART.fullmatch(text)
    if match is None:
        says = f"not a cost between sites: {text!r}"
        raise RecordError(says, advice="write it as quillbeck:oddmoor=3")
    one, other, cost = match.groups()
    return (one, other), float(cost)


def _text(found: Proposal, moves: Sequence[Move]) -> str:
    given = found.shared.given
    if not (given or found.shared.without):
        return "Nobody waits for a second dose without a place: nothing to share out."
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
        f"{_recorded(moves)}"
    )


def _recorded(moves: Sequence[Move]) -> str:
    """Return what was recorded at which sites; codes that are others there are named."""
    if not any(each.taken_over.receipt for each in moves):
        return "Nothing is recorded: add --by NAME to move people, then assign at each site."
    says = [
        f"{counted(len(each.people), 'person', 'people')} of {each.home} taken over at "
        f"{each.site}, and passed on at {each.home}."
        for each in moves
    ]
    for each in moves:
        says += [
            f"{e.person} is {e.there} at {each.site}."
            for e in each.people
            if e.there != e.person
        ]
    return "\n".join([*says, "Who stays: thawline second assign, at each site."])


def _findings(proposal: Proposal) -> list[Finding]:
    without = [f"{each.asked.person} ({each.home})" for each in proposal.shared.without]
    late = [e.given.asked.person for e in proposal.shared.given if e.given.late]
    none = "without a place in these days, who waited longest first"
    after = "placed after their last day; it still counts"
    says = [
        ("no-place", without, f"{counted(len(without), 'person', 'people')} {none}"),
        ("placed-late", late, f"{counted(len(late), 'person', 'people')} {after}"),
    ]
    found = [
        Finding(Level.ACT, code, f"{text}: {listed(who)}.") for code, who, text in says if who
    ]
    return [*found, *_staying(proposal.stays)]


def _staying(stays: Sequence[Stays]) -> list[Finding]:
    """Return for each reason of another site who is not moved there."""
    whom: dict[str, list[str]] = {}
    for each in stays:
        whom.setdefault(each.finding.code, []).append(f"{each.person} ({each.home})")
    first = {each.finding.code: each.finding for each in reversed(stays)}
    says = "kept at their own site, as another one would not take them over"
    return [
        Finding(
            Level.CHECK,
            f"stays-{code}",
            f"{counted(len(who), 'person', 'people')} {says}: {listed(who)}. "
            f"{first[code].says}",
            first[code].item,
        )
        for code, who in whom.items()
    ]
