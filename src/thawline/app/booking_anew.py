"""A new place for somebody who is on the list already: never earlier than the rules allow."""

from collections.abc import Callable
from functools import cache

from thawline.app.acts import Doing, Outcome, act
from thawline.app.booking_rows import Moment, against, age_against, identity_of
from thawline.app.in_force import in_force, rules_by_time
from thawline.app.kept import kept_of
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_date, to_ms
from thawline.ledger.entries import Decision, Plain, View
from thawline.ledger.events import PersonBooked
from thawline.person.away import AWAY, place_elsewhere
from thawline.person.bookings import Wanted, dose_number_at, refusal_elsewhere
from thawline.person.fold import PERSON


def _as_due(view: View) -> int | None:
    """Return nothing: the record alone says which dose a place is for."""
    del view
    return None


def book_anew(
    site: Site,
    doing: Doing,
    person: str,
    place: Instant,
    number_of: Callable[[View], int | None] = _as_due,
) -> Outcome:
    """
    Give a person a place; language and help stay as they were said before.

    `number_of` says which dose it is for where something else tells; else the one due then.

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RefusedError: They may not have that place; nothing is recorded.
    """

    def decide(view: View) -> Decision:
        state = view.one(PERSON, person)
        if state is None:
            raise NotFoundError(f"no person {person!r} here", advice="thawline person sheet")
        rules = in_force(site, view, doing.at)
        number = number_of(view) or dose_number_at(state, place)
        wanted = Wanted(place, local_date(place, site.zone), number)
        rule_on = cache(rules_by_time(site, view))
        moment = Moment(doing.at, site.zone.key, rule_on, rules.protocol.screening)
        away = place_elsewhere(view.one(AWAY, person), local_date(doing.at, site.zone))
        name = kept_of(site, view, person)
        born = identity_of(name).born if name else None
        reason = (
            against(state, wanted, moment)
            or age_against(born, wanted.day, moment)
            or refusal_elsewhere(away, wanted)
            or _over(site, place, doing.at)
        )
        if reason:
            raise RefusedError([Finding(Level.STOP, "no-place", f"{person}: {reason}")])
        said = state.bookings[-1:] or None
        event = PersonBooked(
            person=person,
            slot_ms=to_ms(place),
            dose_number=wanted.dose_number,
            language=said[0].language if said else "",
            needs=said[0].needs if said else "",
            group=said[0].group if said else "",
        )
        return Decision(event, (), rules.ref)

    command: dict[str, Plain] = {
        "command": "booking anew",
        "person": person,
        "slot_ms": to_ms(place),
    }
    return act(site, doing, command, decide)


def _over(site: Site, place: Instant, now: Instant) -> str | None:
    if place > now:
        return None
    return f"a place on {local_date(place, site.zone).isoformat()}, which is over"
