"""
From when a person may leave after a dose: the later bound of everything that is not known.

Thirty minutes win over fifteen, and an outcome nobody recorded stays the longer time. A person
who is down is not sent away by a clock.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms
from thawline.observe.stay_fold import Faint, Seated
from thawline.rules.protocol import Stay

USUAL, LONGER = "usual", "longer"
USUAL_OUTCOME = "give-15"
_IS_DOWN = "down"


@dataclass(frozen=True, slots=True)
class Leave:
    """From when a person may leave; None when nobody knows, and why."""

    person: str
    may_leave: Instant | None
    item: str | None
    findings: tuple[Finding, ...] = ()

    @property
    def down(self) -> bool:
        """Say whether the person fainted and may still be down."""
        return any(finding.code == _IS_DOWN for finding in self.findings)

    def may(self, now: Instant) -> bool:
        """Say whether the person may leave now."""
        blocked = any(finding.level is Level.STOP for finding in self.findings)
        return self.may_leave is not None and now >= self.may_leave and not blocked


def stay_for(screening: str | None, stays: Mapping[str, Stay]) -> Stay | None:
    """
    Return how long a person stays by the screening outcome; None when the rules do not say.

    Only give-15 is the usual time. Any other outcome, or none, is the longer one.
    """
    usual, longer = stays.get(USUAL), stays.get(LONGER)
    if screening != USUAL_OUTCOME or longer is None or usual is None:
        return longer
    return usual


def leave(
    person: str,
    doses: Iterable[tuple[Seated, Mapping[str, Stay]]],
    faints: Iterable[Faint],
    zone: ZoneInfo,
) -> Leave:
    """
    Return from when a person may leave, after the last of several doses.

    Args:
        person: The person's code.
        doses: Each dose, with the stays of the version in force when it was given.
        faints: The person's faints; one without an end keeps them here.
        zone: Of the site.
    """
    ends: list[tuple[Instant, str]] = []
    unknown = False
    for seated, stays in doses:
        stay = stay_for(seated.screening, stays)
        if stay is None:
            unknown = True
        else:
            given = from_ms(seated.hi_ms)
            ends.append((stay.stays.end(given, zone), stay.item))
    found = tuple(_down(person, faint) for faint in faints if faint.up_ms is None)
    if unknown or not ends:
        return Leave(person, None, None, (*found, _not_said(person)))
    until, item = max(ends)
    return Leave(person, until, item, found)


def _down(person: str, faint: Faint) -> Finding:
    where = f" (card {faint.card})" if faint.card else ""
    says = f"{person} is down{where} and nobody stamped them up again: stay with the person."
    return Finding(Level.STOP, _IS_DOWN, says)


def _not_said(person: str) -> Finding:
    says = f"The protocol does not say how long {person} stays: the clinical lead decides."
    return Finding(Level.ACT, "stay-not-known", says)
