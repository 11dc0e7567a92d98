"""What the desk recorded of a person today, put beside what else is known before a needle."""

from dataclasses import replace

from thawline.app.ports import Site
from thawline.base.instants import Instant, local_date
from thawline.give.facts import PersonFacts
from thawline.ledger.entries import View
from thawline.person.desk import DESK, Consent, consent_on, met_on, standing


def with_the_desk(person: PersonFacts, site: Site, view: View, at: Instant) -> PersonFacts:
    """Return the person with how they were compared today, and what they said to the dose."""
    known, today = view.one(DESK, person.code), local_date(at, site.zone)
    met, said = met_on(known, today, site.zone), consent_on(known, today, site.zone)
    return replace(
        person,
        compared=None if met is None else standing(met.agreed, met.differed),
        consent=None if said is None else Consent(said.answer),
        same_name=() if met is None else met.same_name,
        refuses_without=site.refuses_without,
    )
