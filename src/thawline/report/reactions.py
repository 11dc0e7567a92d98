"""
Is a reaction serious, expected, to be reported, and to whom.

Serious is said by six criteria, and by nothing else: how it looks does not make it so. Listed
is what the published table of reactions names. Whom to tell and by when is the site's own to
say. See docs/background/reactions.md.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct

from thawline.base.errors import RecordError


class Criterion(StrEnum):
    """
    What makes a reaction serious.

    Source: 21 CFR 312.32(a), in our own short words.
    """

    DEATH = "death"
    LIFE = "life-threatening"
    HOSPITAL = "hospital"
    DISABILITY = "disability"
    BIRTH = "birth-defect"
    IMPORTANT = "important"


CRITERIA: Mapping[Criterion, str] = {
    Criterion.DEATH: "The person died.",
    Criterion.LIFE: "It put their life at risk as it happened.",
    Criterion.HOSPITAL: "They were admitted to a hospital, or kept there longer.",
    Criterion.DISABILITY: "They cannot live as before, for long or for good.",
    Criterion.BIRTH: "A child has a defect from birth.",
    Criterion.IMPORTANT: "Something had to be done to prevent one of these.",
}


class Reaction(Struct, frozen=True):
    """
    A reaction by its code, as the shipped table has it.

    `listed`, `reported`: who lists it as expected, and as always to be reported; "" for nobody.
    `serious`: the criterion it always meets. `percent`: people who had it, by age and dose.
    """

    code: str
    says: str
    listed: str = ""
    reported: str = ""
    serious: Criterion | None = None
    percent: Mapping[str, float] = {}


class StatedRate(Struct, frozen=True):
    """Cases of so many doses that somebody published, and what they counted as a case."""

    code: str
    name: str
    cases: int
    doses: int
    definition: str
    source: str


class Recipient(Struct, frozen=True):
    """Who is told of a kind of report at this site; `within_h` None: nobody said by when."""

    what: str
    to: str
    within_h: int | None = None


class Classified(Struct, frozen=True):
    """What a reaction is; `expected` None: nobody can say, as it is not a known one."""

    reaction: Reaction
    criteria: tuple[Criterion, ...]
    expected: bool | None
    reasons: tuple[str, ...]

    @property
    def is_serious(self) -> bool:
        """Say whether one of the six criteria is met."""
        return bool(self.criteria)

    @property
    def is_reported(self) -> bool:
        """Say whether it must be reported."""
        return bool(self.reasons)


OTHER = "other"
SERIOUS, ERROR = "serious", "error"
KINDS = (SERIOUS, ERROR, OTHER)


def classified(reaction: Reaction, said: Iterable[Criterion]) -> Classified:
    """
    Return what a reaction is, by the criteria that somebody said and those it always meets.

    A listed reaction that is serious is not expected: expected is said of its severity too
    (21 CFR 312.32(a), unexpected).
    """
    always = () if reaction.serious is None else (reaction.serious,)
    met = tuple(each for each in Criterion if each in {*said, *always})
    reasons = []
    if met:
        reasons.append("serious, whatever the cause")
    if reaction.reported:
        reasons.append("on the list of what is always reported")
    expected = None if reaction.code == OTHER else bool(reaction.listed) and not met
    return Classified(reaction, met, expected, tuple(reasons))


def criteria_of(words: Sequence[str]) -> tuple[Criterion, ...]:
    """
    Return the criteria of their words, in the order of the rule.

    Raises:
        RecordError: One is none of the six.
    """
    known = [each.value for each in Criterion]
    for word in words:
        if word not in known:
            raise RecordError(f"not a criterion: {word!r}", advice=f"one of {', '.join(known)}")
    return tuple(each for each in Criterion if each.value in words)


def recipient_of(found: Classified, recipients: Sequence[Recipient]) -> Recipient | None:
    """Return who is told of it here; None where the site does not say."""
    return told_of(SERIOUS if found.is_serious else OTHER, recipients)


def told_of(what: str, recipients: Sequence[Recipient]) -> Recipient | None:
    """Return who is told of a kind of report here; None where the site does not say."""
    return next((each for each in recipients if each.what == what), None)
