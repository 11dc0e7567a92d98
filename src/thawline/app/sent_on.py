"""Somebody is sent from a desk to the clinical lead: a numbered slip, and the queue goes on."""

from thawline.app.acts import Doing, Outcome, act
from thawline.app.ports import Site
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import from_ms, local_date
from thawline.ledger.entries import Decision, Kind, Plain, View
from thawline.ledger.person_events import PersonSent
from thawline.person.desk import DESK
from thawline.person.fold import PERSON

ABOUT = ("identity", "age", "second-dose", "health", "other")
"""The known words for what the clinical lead is to look at; no health words are kept."""


def send_on(site: Site, doing: Doing, person: str, about: str) -> Outcome:
    """
    Record that a person was sent to the clinical lead with the day's next slip; a fact.

    Raises:
        NotFoundError: Nobody of that code is on record here.
        RecordError: The word is not a known one.
    """
    if about not in ABOUT:
        raise RecordError(
            f"a person cannot be sent on about {about!r}", advice=f"one of {', '.join(ABOUT)}"
        )

    def decide(view: View) -> Decision:
        if view.one(PERSON, person) is None:
            raise NotFoundError(f"no person {person!r} here", advice="look at the code")
        slip = _last_slip(site, view, doing) + 1
        return Decision(PersonSent(person=person, slip=slip, about=about))

    command: dict[str, Plain] = {"command": "person send", "person": person, "about": about}
    return act(site, doing, command, decide, kind=Kind.FACT)


def _last_slip(site: Site, view: View, doing: Doing) -> int:
    today = local_date(doing.at, site.zone)
    return max(
        (
            sent.slip
            for _, desk in view.all(DESK)
            for sent in desk.sent
            if local_date(from_ms(sent.at_ms), site.zone) == today
        ),
        default=0,
    )
