"""
Second doses of several sites together: a proposal that records nothing by itself.

Each site has a ledger of its own. `second_moves` records who goes elsewhere at both, and their
own site assigns the others.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cache

from thawline.app.elsewhere import PlacedThere, elsewhere_on, not_told, placed_there
from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.app.second_moves import not_taken
from thawline.app.second_places import free_places, refuse_past, without_place
from thawline.base.findings import Finding
from thawline.base.instants import Instant, local_date
from thawline.person.fold import PERSON
from thawline.plan.second_between import AskedAt, District, GivenAt, Shared, shared_out
from thawline.rebook.series import DoseDay
from thawline.rebook.to_come import ToCome, second_doses_to_come


@dataclass(frozen=True, slots=True)
class Stays:
    """Somebody who is not moved, as another site's own rule or record is against it."""

    person: str
    home: str
    finding: Finding


@dataclass(frozen=True, slots=True)
class Proposal:
    """
    Who goes where, and by site the people whose first dose has no known day.

    `there`: who is left out as they have a place at another site, and their own does not know.
    `stays`: whom another site would not take over on the day that was thought of.
    """

    shared: Shared
    not_known: tuple[tuple[str, str], ...]
    stays: tuple[Stays, ...]
    there: tuple[PlacedThere, ...] = ()


def share_between(
    sites: Sequence[Site],
    at: Instant,
    places: Mapping[str, Mapping[date, int]],
    apart: Mapping[tuple[str, str], float],
) -> Proposal:
    """
    Return the cheapest day and site for everybody without a place; whoever needs help stays.

    Raises:
        RecordError: The days or the costs cannot be.
    """
    people: list[AskedAt] = []
    not_known: list[tuple[str, str]] = []
    free: dict[str, Mapping[date, int]] = {}
    all_days = {day: 0 for each in places.values() for day in each}
    placed = placed_there(sites, at)
    left_out: list[PlacedThere] = []
    for site in sites:
        today = local_date(at, site.zone)
        refuse_past(all_days, today)
        with site.ledger.view() as view:
            gone = {each.person for each in placed if each.home == site.name}
            wanted = without_place(today, gone | elsewhere_on(view, today).keys())
            states = dict(view.all(PERSON))
            then = DoseDay(min(all_days), max(all_days))
            rule_on = cache(rules_by_time(site, view))
            waits = second_doses_to_come(states.items(), then, rule_on)
        free[site.name] = free_places(states.values(), places[site.name])
        asked = [(each, wanted(each)) for each in waits.people]
        people += [AskedAt(it, site.name, _may_move(each)) for each, it in asked if it]
        not_known += [(site.name, person) for person in waits.not_known]
        left_out += not_told(site, placed, at)
    by_name = {site.name: site for site in sites}
    shared, stays = _shared_out(by_name, people, District(free, apart))
    return Proposal(shared, tuple(not_known), tuple(stays), tuple(left_out))


def _shared_out(
    sites: Mapping[str, Site], people: Sequence[AskedAt], district: District
) -> tuple[Shared, list[Stays]]:
    """Return the plan in which nobody goes where they are not taken over, and who stays."""
    stays: list[Stays] = []
    while True:
        shared = shared_out(people, district)
        found = list(_not_taken(sites, shared.given))
        if not found:
            return shared, stays
        stays += found
        here = {(each.home, each.person) for each in found}
        people = [
            replace(each, may_move=False) if (each.home, each.asked.person) in here else each
            for each in people
        ]


def _not_taken(sites: Mapping[str, Site], given: Sequence[GivenAt]) -> Iterator[Stays]:
    for pair in sorted({(each.home, each.site) for each in given if each.home != each.site}):
        going = [each for each in given if (each.home, each.site) == pair]
        found = not_taken(sites[pair[0]], sites[pair[1]], going)
        yield from (Stays(person, pair[0], finding) for person, finding in found.items())


def _may_move(each: ToCome) -> bool:
    """Whoever needs help stays where it is known and at hand."""
    return not any(booking.needs for booking in each.state.bookings)
