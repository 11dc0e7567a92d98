"""
What can happen with a person at the desk, by phone and between sites, in the past tense.

Codes and known words only: who somebody is, and what they are called, stays in `identity.db`.
"""

from thawline.ledger.events import Event


class PersonArrived(Event, frozen=True, kw_only=True):
    """Somebody came, and staff compared what they said of themselves with what is kept."""

    person: str
    agreed: tuple[str, ...] = ()  # of name, born, phone
    differed: tuple[str, ...] = ()
    same_name: tuple[str, ...] = ()  # codes of others of that name, looked at side by side
    walk_up: bool = False


class PersonAmended(Event, frozen=True, kw_only=True):
    """What is kept of who somebody is was put right, apart from the record; which of it."""

    person: str
    fields: tuple[str, ...]  # of name, born, phone


class ConsentAnswered(Event, frozen=True, kw_only=True):
    """A person, or who may speak for them, said yes or no, or took a yes back."""

    person: str
    answer: str  # yes, no, withdrawn
    whose: str  # self, guardian, surrogate
    edition: str = ""  # of the information given, an ISO date as printed on it
    given_on: str = ""  # the local day on which it was given
    interpreter: bool = False


class PersonSent(Event, frozen=True, kw_only=True):
    """A person was sent from a desk to the clinical lead, with a numbered slip of paper."""

    person: str
    slip: int  # counted anew each local day
    about: str  # identity, age, second-dose, health, other


class FollowUpCalled(Event, frozen=True, kw_only=True):
    """Somebody was called, or tried to be, about a day; what came of it, in a known word."""

    person: str
    about: str  # no-show, late, left-early, no-arm
    day: str  # the local date it is about
    result: str
    slot_ms: int | None = None  # the new place, where one was booked on the call


class SecondDosesPassedOn(Event, frozen=True, kw_only=True):
    """People who wait for a second dose here were given a place for it at another site."""

    people: tuple[str, ...]
    slots_ms: tuple[int, ...]
    to_site: str


class SecondDosesTakenOver(Event, frozen=True, kw_only=True):
    """People of another site were given a place for their second dose at this one."""

    people: tuple[str, ...]  # by the codes they have here
    were: tuple[str, ...]  # the codes they have there
    slots_ms: tuple[int, ...]
    first_on: tuple[str, ...]  # the local date of each first dose, as that site has it
    from_site: str
