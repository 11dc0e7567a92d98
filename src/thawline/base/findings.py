"""
What the rules say about a fact: a level, a code, the protocol item and one sentence.

A finding is a value. Rooms return all of them, worst first, and the shell decides what to
show; nothing is raised for a rule of the field that the facts have broken.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """How soon somebody must respond: now, by a named time, or this shift."""

    STOP = "stop"
    ACT = "act"
    CHECK = "check"


_WORST_FIRST = {level: rank for rank, level in enumerate(Level)}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the rules say; `item` is the protocol item behind it, None where none is."""

    level: Level
    code: str
    says: str
    item: str | None = None


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings with stops before acts before checks, otherwise in their order."""
    return tuple(sorted(findings, key=lambda finding: _WORST_FIRST[finding.level]))


def has_stop(findings: Iterable[Finding]) -> bool:
    """Say whether any of the findings means: do not use, do not give."""
    return any(finding.level is Level.STOP for finding in findings)
