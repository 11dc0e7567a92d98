"""
Everything that is wrong or odd in a protocol file, each with its line, the worst first.

Form, sums, units, bands, texts, and equality with the published edition the file is compared
with. docs/background/protocol-audit.md says what each check promises.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.base.errors import RuleError
from thawline.base.findings import Level
from thawline.base.instants import instant
from thawline.rules.bands import doubtful_bands
from thawline.rules.compared import differences
from thawline.rules.compared_screening import question_differences
from thawline.rules.degrees import wrong_degrees
from thawline.rules.faults import Fault
from thawline.rules.published import NOTHING, Edition, Published
from thawline.rules.reading import Examined
from thawline.rules.slips import Leaves, Slip, item_of, unit_of
from thawline.rules.spoken_figures import misspoken_figures
from thawline.rules.volumes import volume_sums
from thawline.rules.weights import wrong_weights

COMPARED_WITH = "protocol.compared_with"
_RANK = {level: rank for rank, level in enumerate(Level)}


def audit(examined: Examined, published: Published) -> tuple[Slip, ...]:
    """Return every slip of a file, worst first and then in the order of its lines."""
    faults = [_of_fault(fault, examined) for fault in examined.faults]
    known = {slip.key for slip in faults}
    leaves = examined.leaves
    handling = () if examined.is_rule_set else _of_handling(leaves, published)
    compared = _compared(leaves, published, whole=not examined.is_rule_set)
    found = [
        *handling,
        *misspoken_figures(leaves),
        *(slip for slip in compared if not _covered(slip.key, known)),
    ]
    placed = [_placed(slip, examined) for slip in found]
    return tuple(sorted([*faults, *placed], key=lambda s: (_RANK[s.level], s.line or 0)))


def _of_handling(leaves: Leaves, published: Published) -> Iterator[Slip]:
    """Yield what only a whole protocol can be asked: degrees, weights, bands, volumes."""
    yield from wrong_degrees(leaves, published)
    yield from wrong_weights(leaves)
    yield from doubtful_bands(leaves, published)
    yield from volume_sums(leaves)


def edition_for(leaves: Leaves, published: Published) -> Edition | None:
    """
    Return the edition a file is held against; None where it says that none is about it.

    Without `compared_with` it is the edition in print when the file's version starts.

    Raises:
        RuleError: The file names an edition that there is not.
    """
    name = leaves.get(COMPARED_WITH)
    if name == NOTHING:
        return None
    if name is not None:
        return published.named(str(name))
    start = leaves.get("protocol.effective_from")
    if isinstance(start, datetime):
        return published.of_time(instant(start))
    return published.editions[-1]


def figure_keys(leaves: Leaves) -> list[str]:
    """Return the dotted keys of the numbers and lengths of time that carry an item."""
    return [
        key
        for key, leaf in leaves.items()
        if isinstance(leaf, int | Decimal | Allowance)
        and not isinstance(leaf, bool)
        and item_of(leaves, key)
    ]


def must_be_answered(slips: Iterable[Slip]) -> bool:
    """Say whether any slip is more than something to look at."""
    return any(slip.level is not Level.CHECK for slip in slips)


def _compared(leaves: Leaves, published: Published, *, whole: bool) -> Iterator[Slip]:
    try:
        edition = edition_for(leaves, published)
    except RuleError as error:
        says = f"{error.says}; {error.advice}"
        yield Slip("differs-from-source", Level.STOP, COMPARED_WITH, says)
        return
    if edition is None:
        says = "the file is compared with no published edition"
        yield Slip("differs-from-source", Level.CHECK, COMPARED_WITH, says)
    else:
        yield from differences(leaves, edition) if whole else ()
        yield from question_differences(leaves, edition)


def _covered(key: str, known: set[str]) -> bool:
    """Say whether a fault was already found at the key or at a table around it."""
    return any(key == fault or key.startswith(f"{fault}.") for fault in known)


def _of_fault(fault: Fault, examined: Examined) -> Slip:
    return Slip(
        fault.code,
        Level.STOP,
        fault.key,
        f"{fault.says}; {fault.advice}",
        item=item_of(examined.leaves, fault.key),
        value=examined.leaves.get(fault.key),
        unit=unit_of(fault.key, examined.leaves.get(fault.key)),
        line=fault.line,
    )


def _placed(slip: Slip, examined: Examined) -> Slip:
    line = examined.text.line(slip.key)
    return replace(slip, item=item_of(examined.leaves, slip.key), line=line)
