"""
What one answer comes to, and how two of them make one.

The stricter outcome counts, and of two dates the later. Whatever the order and however often
the same is said, the same comes out. See docs/background/screening.md.
"""

from datetime import date

from msgspec import Struct

from thawline.rules.questions import GIVE, Outcome

_STRICTNESS = {outcome: -place for place, outcome in enumerate(Outcome)}


class Verdict(Struct, frozen=True):
    """An outcome, and the first day on which a wait is over; None where nothing waits."""

    outcome: Outcome
    until: date | None = None


NOTHING_AGAINST = Verdict(Outcome.GIVE_15)
"""What no worrying answer at all comes to; merged with any verdict it changes nothing."""


def stricter(one: Outcome, other: Outcome) -> Outcome:
    """Return the stricter of two outcomes."""
    return one if _STRICTNESS[one] >= _STRICTNESS[other] else other


def later(one: date | None, other: date | None) -> date | None:
    """Return the later of two dates; a date is later than none."""
    if one is None or other is None:
        return one or other
    return max(one, other)


def merged(one: Verdict, other: Verdict) -> Verdict:
    """Return what two verdicts come to together."""
    return Verdict(stricter(one.outcome, other.outcome), later(one.until, other.until))


def stricter_of(recorded: str, named: str | None) -> str:
    """
    Return the stricter of a recorded outcome and one named later, as words of the record.

    A bare "give" names no minutes and changes nothing about a recorded outcome that gives.
    """
    if named is None or named == GIVE:
        return recorded
    return stricter(Outcome(recorded), Outcome(named)).value
