"""
A protocol file into types: the exact bytes in, a protocol and its hash out, or every fault.

A file with a fault is never half used. `read_protocol` refuses it with the first fault;
`examined` lists all of them, for `protocol check`.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

import msgspec

from thawline.base.errors import RuleError
from thawline.rules.faults import Fault
from thawline.rules.protocol import Protocol, ProtocolRef, RuleSet
from thawline.rules.shape import Leaf, filled, shape_of
from thawline.rules.soundness import unsound
from thawline.rules.text import Text, read_text

_HANDLING = frozenset({"product", "bands", "clocks", "thaw", "schedule"})


@dataclass(frozen=True, slots=True)
class RuleFile:
    """A protocol as it was read: its bytes, their hash, and the line of each dotted key."""

    protocol: Protocol
    ref: ProtocolRef
    raw: bytes
    lines: Mapping[str, int]
    leaves: Mapping[str, Leaf]


@dataclass(frozen=True, slots=True)
class Examined:
    """
    What could be read of a rule file, with every fault.

    `protocol` is None where there is a fault, and for a rule set; `rule_set` for a protocol.
    """

    text: Text
    leaves: Mapping[str, Leaf]
    faults: tuple[Fault, ...]
    protocol: Protocol | None
    sha256: str
    is_rule_set: bool = False
    rule_set: RuleSet | None = None


def examined(raw: bytes) -> Examined:
    """
    Return everything that can be said about the form of a protocol file.

    Raises:
        RuleError: It cannot be looked at: too big, too deep, not UTF-8 or not TOML.
    """
    text = read_text(raw)
    if has_only_questions(text):
        return _examined_rule_set(text, raw)
    shape = shape_of(text, Protocol)
    faults = _in_order([*shape.faults, *unsound(shape, text)])
    protocol = None if faults else msgspec.convert(filled(text.tree, shape.leaves), Protocol)
    return Examined(text, shape.leaves, faults, protocol, hashlib.sha256(raw).hexdigest())


def _examined_rule_set(text: Text, raw: bytes) -> Examined:
    shape = shape_of(text, RuleSet)
    faults = _in_order([*shape.faults, *unsound(shape, text, whole=False)])
    rules = None if faults else msgspec.convert(filled(text.tree, shape.leaves), RuleSet)
    sha256 = hashlib.sha256(raw).hexdigest()
    return Examined(text, shape.leaves, faults, None, sha256, is_rule_set=True, rule_set=rules)


def has_only_questions(text: Text) -> bool:
    """Say whether a file is a rule set: questions, and nothing of how a vial is handled."""
    return "screening" in text.tree and not _HANDLING & text.tree.keys()


def _in_order(faults: list[Fault]) -> tuple[Fault, ...]:
    return tuple(sorted(faults, key=lambda fault: fault.line or 0))


def read_protocol(raw: bytes) -> RuleFile:
    """
    Return the protocol in a file's bytes.

    Raises:
        RuleError: Anything is wrong with the file; carries the line and key of the first fault.
    """
    found = examined(raw)
    if found.protocol is None:
        raise found.faults[0].error() if found.faults else _no_protocol()
    heading = found.protocol.protocol
    ref = ProtocolRef(heading.id, heading.version, found.sha256)
    return RuleFile(found.protocol, ref, raw, found.text.lines, found.leaves)


def _no_protocol() -> RuleError:
    return RuleError(
        "a rule set with screening questions only, and no protocol",
        advice="thawline screening decide --rules FILE; here a whole protocol is wanted",
    )
