"""
Whether the screening of a file is the published one, question by question.

A milder outcome or a shorter wait stops. A site may ask more strictly than print does; what it
does so in is said once, for all questions together.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from thawline.base.durations import Allowance
from thawline.base.findings import Level
from thawline.rules.asking import TABLE, question_tables
from thawline.rules.published import Edition
from thawline.rules.questions import Outcome
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, Slip, shown, unit_of

QUESTIONS = f"{TABLE}."
_STRICTEST_FIRST = list(Outcome)


@dataclass(frozen=True, slots=True)
class _Pair:
    """One figure or outcome of a question: the file's key, and what both sides say."""

    item: str
    key: str
    ours: Leaf | None
    theirs: Leaf


def question_differences(leaves: Leaves, edition: Edition) -> Iterator[Slip]:
    """Yield what a file asks more mildly than the edition, then all it does otherwise."""
    printed = [key for key in edition.figures if _is_asked(key, edition)]
    tables = {leaves.get(f"{table}.item"): table for table in question_tables(leaves)}
    if not printed:
        return
    pairs = [_pair(leaves, tables, key, edition.figures[key]) for key in printed]
    milder = [pair for pair in pairs if pair.ours is not None and _is_milder(pair)]
    yield from (_milder(pair, edition) for pair in milder)
    yield from _otherwise(pairs, milder, edition)


def _is_asked(key: str, edition: Edition) -> bool:
    """Say whether the edition still asks so; a wait ends with the outcome that waited."""
    if key.startswith(QUESTIONS) and key.endswith(".wait"):
        return edition.figures.get(key.replace(".wait", ".yes")) == Outcome.NOT_TODAY
    return key.startswith(QUESTIONS)


def _pair(leaves: Leaves, tables: dict[Leaf | None, str], key: str, theirs: Leaf) -> _Pair:
    _, item, name = key.split(".", 2)
    table = tables.get(item, "")
    return _Pair(item, f"{table}.{name}", leaves.get(f"{table}.{name}"), theirs)


def _is_milder(pair: _Pair) -> bool:
    if isinstance(pair.theirs, Outcome):
        return _rank(pair.ours) > _rank(pair.theirs)
    if isinstance(pair.ours, Allowance) and isinstance(pair.theirs, Allowance):
        return _size(pair.ours) < _size(pair.theirs)
    if pair.key.endswith(".age_below") and isinstance(pair.ours, int):
        return pair.ours < int(str(pair.theirs))
    return pair.ours != pair.theirs


def _rank(outcome: Leaf | None) -> int:
    return _STRICTEST_FIRST.index(Outcome(str(outcome)))


def _size(length: Allowance) -> timedelta:
    return length.longest()


def _milder(pair: _Pair, edition: Edition) -> Slip:
    says = (
        f"{pair.item}: {pair.key} is {_said(pair.ours)}; "
        f"published {edition.name}: {_said(pair.theirs)}"
    )
    return Slip(
        "differs-from-source",
        Level.STOP,
        pair.key,
        says,
        value=pair.ours,
        unit=unit_of(pair.key, pair.ours),
    )


def _said(leaf: Leaf | None) -> str:
    return "nothing" if leaf is None else shown(leaf)


def _otherwise(pairs: list[_Pair], milder: list[_Pair], edition: Edition) -> Iterator[Slip]:
    absent = _items(pair for pair in pairs if pair.key.startswith("."))
    here = [pair for pair in pairs if not pair.key.startswith(".")]
    other = _items(p for p in here if p not in milder and p.ours != p.theirs)
    parts = [f"stricter or asked of more people: {', '.join(other)}"] if other else []
    parts += [f"not asked: {', '.join(absent)}"] if absent else []
    if parts:
        says = f"screening, against published {edition.name}; {'; '.join(parts)}"
        yield Slip("differs-from-source", Level.CHECK, TABLE, says)


def _items(pairs: Iterator[_Pair]) -> list[str]:
    return list(dict.fromkeys(pair.item for pair in pairs))
