"""
A protocol file into types: the exact bytes in, a protocol and its hash out, or every fault.

A file with a fault is never half used. `read_protocol` refuses it with the first fault;
`examined` lists all of them, for `protocol check`.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

import msgspec

from thawline.rules.faults import Fault
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.rules.shape import Leaf, filled, shape_of
from thawline.rules.soundness import unsound
from thawline.rules.text import Text, read_text


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
    """What could be read of a protocol file, with every fault; `protocol` None where any is."""

    text: Text
    leaves: Mapping[str, Leaf]
    faults: tuple[Fault, ...]
    protocol: Protocol | None
    sha256: str


def examined(raw: bytes) -> Examined:
    """
    Return everything that can be said about the form of a protocol file.

    Raises:
        RuleError: It cannot be looked at: too big, too deep, not UTF-8 or not TOML.
    """
    text = read_text(raw)
    shape = shape_of(text, Protocol)
    found = [*shape.faults, *unsound(shape, text)]
    faults = tuple(sorted(found, key=lambda fault: fault.line or 0))
    protocol = None if faults else msgspec.convert(filled(text.tree, shape.leaves), Protocol)
    return Examined(text, shape.leaves, faults, protocol, hashlib.sha256(raw).hexdigest())


def read_protocol(raw: bytes) -> RuleFile:
    """
    Return the protocol in a file's bytes.

    Raises:
        RuleError: Anything is wrong with the file; carries the line and key of the first fault.
    """
    found = examined(raw)
    if found.protocol is None:
        raise found.faults[0].error()
    heading = found.protocol.protocol
    ref = ProtocolRef(heading.id, heading.version, found.sha256)
    return RuleFile(found.protocol, ref, raw, found.text.lines, found.leaves)
