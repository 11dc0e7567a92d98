"""
A rule set into questions: the screening of a file, with what it is decided under.

A whole protocol carries its own copy of the questions and serves as well.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from thawline.base.errors import RuleError
from thawline.base.instants import Instant, instant
from thawline.rules.protocol import Heading, Protocol, ProtocolRef, RuleSet, Source
from thawline.rules.questions import Question
from thawline.rules.reading import RuleFile, examined

UNNAMED = "unnamed"
"""The id of a rule set without a heading; its version is 0."""


@dataclass(frozen=True, slots=True)
class Questions:
    """The screening questions of a file, in its order; `effective_from` None if not said."""

    asked: tuple[Question, ...]
    ref: ProtocolRef
    title: str
    effective_from: datetime | None
    sources: Mapping[str, Source]

    @property
    def starts(self) -> Instant | None:
        """The instant from which the questions count; None where the file does not say."""
        return None if self.effective_from is None else instant(self.effective_from)


def read_questions(raw: bytes) -> Questions:
    """
    Return the screening questions in a file's bytes: of a rule set, or of a protocol.

    Raises:
        RuleError: Anything is wrong with the file, or it asks nothing.
    """
    found = examined(raw)
    rules = found.rule_set or found.protocol
    if rules is None:
        raise found.faults[0].error()
    return _questions(rules, found.sha256)


def questions_of(file: RuleFile) -> Questions:
    """
    Return the screening questions that a protocol carries.

    Raises:
        RuleError: It asks nothing.
    """
    return _questions(file.protocol, file.ref.sha256)


def _questions(rules: RuleSet | Protocol, sha256: str) -> Questions:
    if not rules.screening:
        raise RuleError("no screening questions in this file", advice="add [[screening]]")
    heading = rules.protocol
    return Questions(
        asked=rules.screening,
        ref=_ref(heading, sha256),
        title=heading.title if heading else "Rule set without a heading",
        effective_from=heading.effective_from if heading else None,
        sources=rules.sources,
    )


def _ref(heading: Heading | None, sha256: str) -> ProtocolRef:
    if heading is None:
        return ProtocolRef(UNNAMED, 0, sha256)
    return ProtocolRef(heading.id, heading.version, sha256)
