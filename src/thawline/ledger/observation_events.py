"""
What can happen in the observation area and with the emergency kit, in the past tense.

Codes and times only, no free text about a person. A stamp may name nobody: the name is added
later, under the same card.
"""

from thawline.ledger.events import Event


class PersonLeft(Event, frozen=True, kw_only=True):
    """A person left the observation area; `early` when their time was not over."""

    person: str
    early: bool = False
    stays_until_ms: int | None = None  # None: nobody knew until when


class MomentStamped(Event, frozen=True, kw_only=True):
    """Somebody pressed for a moment of an emergency or a faint; nothing else is needed."""

    what: str  # given, called, crew, down, up
    card: str = ""  # which emergency, where there are several
    person: str | None = None
    dose_by_ms: tuple[int, int] | None = None  # after "given": the window of the next dose


class CardNamed(Event, frozen=True, kw_only=True):
    """The person of an emergency card was named afterwards."""

    card: str
    person: str


class KitChecked(Event, frozen=True, kw_only=True):
    """Somebody looked at the kit: doses of epinephrine by expiry, and who can give one."""

    doses: tuple[str, ...]  # each a count and the last day of use, as 3@2026-08-31
    able: tuple[str, ...]
    least: int  # by the protocol in force


class VaccinatingResumed(Event, frozen=True, kw_only=True):
    """The clinical lead, by their own PIN, let vaccinating go on."""

    why: str  # a known word
