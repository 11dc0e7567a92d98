"""
Which version of a protocol is in force at an instant.

A version counts from its `effective_from` until the next one's. Two versions that cannot be
told apart by number and start are refused: nobody could say which of them counts.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from thawline.base.errors import RuleError
from thawline.base.instants import Instant, instant, written
from thawline.rules.reading import RuleFile


def starts(file: RuleFile) -> Instant:
    """Return the instant from which a protocol file counts."""
    return instant(file.protocol.protocol.effective_from)


def in_order(files: Iterable[RuleFile]) -> tuple[RuleFile, ...]:
    """
    Return the versions of one protocol, earliest first; the same file twice counts once.

    Raises:
        RuleError: Two of them have the same number or start, or a later number starts earlier.
    """
    apart = {file.ref.sha256: file for file in files}
    ordered = tuple(sorted(apart.values(), key=lambda file: (starts(file), file.ref.version)))
    for earlier, later in pairwise(ordered):
        if starts(earlier) == starts(later) or earlier.ref.version >= later.ref.version:
            raise RuleError(
                f"versions {earlier.ref.version} and {later.ref.version} of {later.ref.id} "
                f"overlap: they start {written(starts(earlier))} and {written(starts(later))}",
                advice="give each version a higher number and a later effective_from",
            )
    return ordered


def in_force(files: Sequence[RuleFile], at: Instant) -> RuleFile | None:
    """Return the version in force at the instant; None before the first one counts."""
    begun = [file for file in in_order(files) if starts(file) <= at]
    return begun[-1] if begun else None
