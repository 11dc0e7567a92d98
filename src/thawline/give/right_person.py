"""
Whether the person in the chair is the one on record, and said yes to this dose.

A difference, a no and a yes taken back refuse the dose, whatever a protocol says. What is only
not on record is said at every check, and refuses where the site says so: many keep it on paper.
"""

from collections.abc import Iterator

from thawline.base.findings import Level
from thawline.give.breach import Breach
from thawline.give.facts import PersonFacts
from thawline.person.desk import CONSENT, IDENTITY, Compared, Consent

NOT_KNOWN = frozenset({"identity-not-compared", "consent-not-known", "same-name"})
"""Codes of what is not on record; worth nothing once the dose was given, unless refused."""

_ASK = "The person says or points to name and birth date; compare them, never read them out."


def right_person_breaches(person: PersonFacts) -> Iterator[Breach]:
    """Yield what is wrong, or not on record, about who it is and what they said to it."""
    if not person.known:
        return
    yield from _identity(person)
    if person.same_name:
        others = ", ".join(person.same_name)
        fact = f"{person.code} has the same name as {others}."
        yield Breach(Level.CHECK, "same-name", fact, "The birth date is said again here.")
    yield from _consent(person)


def _identity(person: PersonFacts) -> Iterator[Breach]:
    if person.compared is Compared.DIFFERS:
        yield Breach(
            Level.STOP,
            "identity-differs",
            f"What was said differs from what is kept of {person.code}.",
            "Give none. Find out at the desk who it is.",
        )
    elif person.compared is not Compared.AGREES:
        one = "" if person.compared is None else ", one identifier only"
        fact = f"{person.code} was not compared by two identifiers today{one}."
        yield Breach(_level(person, IDENTITY), "identity-not-compared", fact, _ASK)


def _consent(person: PersonFacts) -> Iterator[Breach]:
    if person.consent is Consent.NO:
        fact = f"{person.code} said no to the dose."
        yield Breach(Level.STOP, "consent-refused", fact, "Give none.")
    elif person.consent is Consent.WITHDRAWN:
        fact = f"The yes of {person.code} was taken back."
        yield Breach(Level.STOP, "consent-withdrawn", fact, "Give none; nobody persuades.")
    elif person.consent is None:
        fact = f"No consent of {person.code} is on record for today."
        yield Breach(
            _level(person, CONSENT), "consent-not-known", fact, "Ask, or look at the form."
        )


def _level(person: PersonFacts, what: str) -> Level:
    return Level.STOP if what in person.refuses_without else Level.CHECK
