"""Acts of `thawline cold` about people: who took an alert on, who answered a test call."""

from datetime import timedelta
from typing import Annotated
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.app import watching
from thawline.app.units import unit_of
from thawline.base.instants import Instant, local_date, local_instant, local_time
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting
from thawline.cli.text import clock_time

NOBODY = Acting()
Yes = Annotated[bool, Parameter(negative="")]
_DAY = timedelta(days=1)
_WALL = len("06:00")


def answer(unit: str, *, cannot_go: Yes = False, acting: Acting = NOBODY) -> Answer:
    """
    Record that somebody answered about a unit's alerts; then they are that person's.

    thawline cold answer freezer-1 --by "Sorrel Kettlewick" --why "on my way"
    thawline cold answer freezer-1 --cannot-go --by "Rowan Thistle" --why "two hours away"

    The alert is theirs; the vials stay held until a release by two people.

    Parameters
    ----------
    unit
        The storage unit, as thawline cold units names it.
    cannot_go
        They answered and cannot see to it: the next of the chain is due at once.
    """
    site = site_named(acting.site)
    named = unit_of(site, unit)
    asked = doing(site, acting)
    outcome = watching.answer(site, asked, named.name, takes=not cannot_go)
    took = "cannot go: call the next of the chain now" if cannot_go else "has taken it on"
    at = clock_time(asked.at, site.zone)
    return recorded(outcome, site, f"{named.name}, {at}: {acting.by} {took}; {acting.why!r}")


def night(
    *,
    answered_by: str,
    there_until: str | None = None,
    dialler: Yes = False,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record that a test call for the night was answered; before that it is not covered.

    thawline cold night --answered-by "Rowan Thistle" --there-until 06:00 --by "Bryony Testwick"
    thawline cold night --answered-by "hall dialler" --dialler --by "Bryony Testwick"

    This program calls nobody. It keeps who answered, and when.

    Parameters
    ----------
    answered_by
        The person who answered; of a dialler, what it is called.
    there_until
        Until when they can be called; when the night is over, if left out.
    dialler
        The site's own dialler rang and was answered.
    """
    site = site_named(acting.site)
    asked = doing(site, acting)
    until = None
    if there_until is not None:
        until = _next(
            moment(there_until, asked.at, site.zone), there_until, asked.at, site.zone
        )
    outcome = watching.answer_test_call(site, asked, answered_by, until, dialler=dialler)
    at = clock_time(asked.at, site.zone)
    return recorded(outcome, site, f"{at}: {answered_by} answered a test call")


def _next(until: Instant, typed: str, after: Instant, zone: ZoneInfo) -> Instant:
    """Return the time that was typed, on the next day where it is a time of day gone by."""
    if len(typed) > _WALL or until > after:
        return until
    return local_instant(local_date(until, zone) + _DAY, local_time(until, zone), zone)
