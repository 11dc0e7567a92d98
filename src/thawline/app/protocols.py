"""
Use cases on protocol files that need no ledger: check one, compare two, show one.

The shell brings bytes; what is said about them is decided in `rules` and `vial`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from thawline.base.findings import Finding
from thawline.base.instants import Instant, instant
from thawline.rules.audit import audit, figure_keys, must_be_answered
from thawline.rules.both_units import Both, in_both_units
from thawline.rules.briefing import Briefing
from thawline.rules.changes import Change, brief_again, changes
from thawline.rules.protocol import ProtocolRef
from thawline.rules.published import read_published
from thawline.rules.reading import RuleFile, examined
from thawline.rules.slips import Slip
from thawline.vial.new_version import Moved, moved
from thawline.vial.story import read_story


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found in a protocol file; the heading is None where it cannot be read."""

    id: str | None
    version: int | None
    effective_from: datetime | None
    sha256: str
    figures: int
    slips: tuple[Slip, ...]
    ref: ProtocolRef | None

    @property
    def must_be_answered(self) -> bool:
        """Say whether the file must not be used as it is."""
        return must_be_answered(self.slips)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Return the slips as findings, each with the line it is on."""
        return tuple(
            Finding(slip.level, slip.code, slip.with_line, slip.item) for slip in self.slips
        )


@dataclass(frozen=True, slots=True)
class MovedVial:
    """A vial of a comparison by the name its story gives it, and what moved."""

    vial: str
    zone: ZoneInfo
    moved: Moved


@dataclass(frozen=True, slots=True)
class Compared:
    """What a new version changes: items, vials under way, and who must hear of it."""

    changed: tuple[Change, ...]
    vials: tuple[MovedVial, ...]
    brief_again: tuple[Briefing, ...]
    at: Instant


def check_file(raw: bytes, references: bytes, signature: Finding | None = None) -> Checked:
    """
    Return everything that is wrong or odd in a protocol file.

    Args:
        raw: The file's exact bytes.
        references: The bytes of the published figures shipped with thawline.
        signature: What there is to say about the file's signature, if anything.

    Raises:
        RuleError: It cannot be looked at: not TOML, not UTF-8, too big or too deep.
    """
    found = examined(raw)
    leaves = found.leaves
    name, version = leaves.get("protocol.id"), leaves.get("protocol.version")
    start = leaves.get("protocol.effective_from")
    signed = [] if signature is None else [_unsigned(signature)]
    return Checked(
        id=name if isinstance(name, str) else None,
        version=version if isinstance(version, int) else None,
        effective_from=start if isinstance(start, datetime) else None,
        sha256=found.sha256,
        figures=len(figure_keys(leaves)),
        slips=(*signed, *audit(found, read_published(references))),
        ref=ProtocolRef(name, version, found.sha256)
        if isinstance(name, str) and isinstance(version, int)
        else None,
    )


def _unsigned(finding: Finding) -> Slip:
    return Slip(finding.code, finding.level, "", finding.says)


def both_units(file: RuleFile, references: bytes) -> tuple[Both, ...]:
    """Return every figure of a file in both units, beside the published one."""
    return in_both_units(file.leaves, read_published(references))


def compare(
    old: RuleFile,
    new: RuleFile,
    stories: Sequence[Mapping[str, Any]] = (),
    at: Instant | None = None,
) -> Compared:
    """
    Return what a new version changes.

    Args:
        old: The version before.
        new: The version after.
        stories: Vials under way, in the JSON form of the command line.
        at: The moment asked about; None takes the moment the new version counts from.

    Raises:
        RecordError: A story cannot be a vial's.
    """
    when = instant(new.protocol.protocol.effective_from) if at is None else at
    changed = changes(old.leaves, new.leaves)
    vials = tuple(
        _moved_vial(number, story, old, new, when) for number, story in enumerate(stories, 1)
    )
    return Compared(changed, vials, brief_again(changed), when)


def _moved_vial(
    number: int, told: Mapping[str, Any], old: RuleFile, new: RuleFile, at: Instant
) -> MovedVial:
    story = read_story(told)
    name = str(told.get("vial") or f"story {number}")
    return MovedVial(name, story.zone, moved(story, old.protocol, new.protocol, at))
