"""
Which refusals a person may set aside, and what that takes.

Only what the protocol lists under [overrides], with a reason, and with a second person where
it says so. Use-by, held, the earliest day of the second dose, a pause for the emergency kit,
a person who is somebody else and a no are never set aside, whatever a protocol says.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from thawline.base.findings import Finding, Level
from thawline.rules.protocol import Override

NEVER = frozenset(
    {
        "past-use-by",
        "use-by-not-known",
        "ran-out-before",
        "held",
        "lot-held",
        "arrived-without-history",
        "table-out-of-range",
        "refrozen",
        "too-early",
        "vaccinating-paused",
        "identity-differs",
        "consent-refused",
        "consent-withdrawn",
    }
)
"""Refusals that stand whatever a protocol says: use-by, held, day, pause, identity, a no."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """What a person gives to set refusals aside: a reason, and a second person's own entry."""

    why: str
    second: str | None = None


def may_be_set_aside(code: str, overrides: Mapping[str, Override]) -> bool:
    """Say whether the protocol lets a person set this refusal aside at all."""
    return code in overrides and code not in NEVER


def standing_stops(
    findings: Iterable[Finding], overrides: Mapping[str, Override], given: SetAside | None
) -> tuple[Finding, ...]:
    """Return the stops that still forbid the dose when this is given to set them aside."""
    return tuple(
        finding
        for finding in findings
        if finding.level is Level.STOP and not _set_aside(finding.code, overrides, given)
    )


def lacks_second_person(
    findings: Iterable[Finding], overrides: Mapping[str, Override], given: SetAside | None
) -> bool:
    """Say whether a second person's own entry is all that is missing to set the stops aside."""
    if given is None or given.second is not None:
        return False
    seconded = SetAside(given.why, second="somebody")
    stops = standing_stops(findings, overrides, given)
    return bool(stops) and not standing_stops(stops, overrides, seconded)


def _set_aside(code: str, overrides: Mapping[str, Override], given: SetAside | None) -> bool:
    if given is None or not given.why.strip() or not may_be_set_aside(code, overrides):
        return False
    return given.second is not None or not overrides[code].second_person
