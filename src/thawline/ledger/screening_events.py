"""What can happen at the screening desk, in the past tense; codes and items, no free text."""

from thawline.ledger.events import Event


class ScreeningAnswered(Event, frozen=True, kw_only=True):
    """Somebody answered the screening questions; the answers count on that local day only."""

    person: str
    outcome: str
    answers: tuple[str, ...]  # each an item and a code, as Q5=yes or Q13=2021-01-01
    reasons: tuple[str, ...] = ()  # each an item and what it leads to, as Q4=refer
    until: str | None = None  # the first day after every wait
    dose_number: int | None = None


class ScreeningCleared(Event, frozen=True, kw_only=True):
    """The clinical lead, by their own PIN, decided a referral: give, with the longer stay."""

    person: str
    screening: str  # the id of the entry that referred
    outcome: str
    why: str  # a known word
