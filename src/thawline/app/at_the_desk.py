"""What the desk recorded of a person today, put beside what else is known before a needle."""

from dataclasses import replace

from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_time
from thawline.give.facts import PersonFacts
from thawline.ledger.entries import View
from thawline.person.desk import DESK, Consent, last_consent, last_met, standing

LATER_WORD = "later-word"


def later_word(site: Site, what: str, at_ms: int) -> Finding:
    """Return what to say where a stricter word of the day counts, and not the one typed now."""
    clock = local_time(from_ms(at_ms), site.zone).isoformat(timespec="minutes")
    says = f"{what} at {clock}, and that counts: what is typed in now does not change it."
    return Finding(Level.ACT, LATER_WORD, says)


def with_the_desk(person: PersonFacts, site: Site, view: View, at: Instant) -> PersonFacts:
    """Return the person as they were compared that day by then, and said to the dose."""
    known = view.one(DESK, person.code)
    met, said = last_met(known, at, site.zone), last_consent(known, at, site.zone)
    return replace(
        person,
        compared=None if met is None else standing(met.agreed, met.differed),
        consent=None if said is None else Consent(said.answer),
        same_name=() if met is None else met.same_name,
        refuses_without=site.refuses_without,
    )
