"""
Where rule files are found: shipped with thawline, or in a file of one's own.

A shipped file has a name of its own (published-2022); its protocol's id (published) stands for
the version in force. Rule sets, with screening questions only, are named apart from protocols.
"""

import sys
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from pathlib import Path

from thawline.adapters.signing import refuse_changed
from thawline.base.errors import NotFoundError, RuleError
from thawline.base.instants import Instant
from thawline.rules.reading import RuleFile, read_protocol
from thawline.rules.rule_sets import Questions, questions_of, read_questions
from thawline.rules.text import MOST_BYTES
from thawline.rules.versions import in_force, in_order

_DATA = files("thawline.rules") / "data"
_REFERENCES = "published.toml"
_RULE_SETS = ("field-2021", "later-2022", "national-2021")
_DRAFT = "-draft"
STDIN = "-"


def names() -> tuple[str, ...]:
    """Return the names of the shipped protocol files."""
    found = (e.name.removesuffix(".toml") for e in _DATA.iterdir() if e.name != _REFERENCES)
    return tuple(sorted(name for name in found if name not in _RULE_SETS))


def rule_sets() -> tuple[str, ...]:
    """Return the names of the shipped rule sets, which hold screening questions only."""
    return _RULE_SETS


def ids() -> tuple[str, ...]:
    """Return the ids of the shipped protocols; each stands for its versions."""
    return tuple(sorted({_shipped_file(name).ref.id for name in _versions()}))


def shipped(name: str) -> bytes:
    """
    Return the exact bytes of a shipped protocol file or rule set.

    Raises:
        NotFoundError: There is none of that name.
    """
    if name not in (*names(), *rule_sets()):
        raise _no_such(name)
    return (_DATA / f"{name}.toml").read_bytes()


def references() -> bytes:
    """Return the bytes of the published figures that protocol files are compared with."""
    return (_DATA / _REFERENCES).read_bytes()


def versions_of(protocol_id: str) -> tuple[RuleFile, ...]:
    """Return the shipped versions of a protocol, earliest first; empty for an unknown id."""
    named = [name for name in _versions() if name.startswith(f"{protocol_id}-")]
    return in_order(file for file in map(_shipped_file, named) if file.ref.id == protocol_id)


def load(name_or_path: str, at: Instant | None = None) -> RuleFile:
    """
    Return a protocol by its shipped name, its id or the path of a file.

    Args:
        name_or_path: Looked for in this order; an id stands for the version in force.
        at: When; before the first version the oldest counts, and None takes the latest.

    Raises:
        NotFoundError: There is no such name, id or file.
        RuleError: The file is not a protocol, or was changed after it was signed.
    """
    if name_or_path in (*names(), *rule_sets()):
        return read_protocol(shipped(name_or_path))
    if versions := versions_of(name_or_path):
        return versions[-1] if at is None else in_force(versions, at) or versions[0]
    raw = file_bytes(name_or_path)
    if name_or_path != STDIN:
        refuse_changed(Path(name_or_path), raw)
    return read_protocol(raw)


def bytes_of(name_or_path: str) -> bytes:
    """Return the bytes of a shipped file by its name, or of a file on disk."""
    is_shipped = name_or_path in (*names(), *rule_sets())
    return shipped(name_or_path) if is_shipped else file_bytes(name_or_path)


def load_questions(name_or_path: str, at: Instant | None = None) -> Questions:
    """
    Return the screening questions of a rule set or protocol by its name, its id or a path.

    Args:
        name_or_path: Looked for in this order; an id stands for the version in force.
        at: When; before the first version the oldest counts, and None takes the latest.

    Raises:
        NotFoundError: There is no such name, id or file.
        RuleError: The file asks nothing, is faulty, or was changed after it was signed.
    """
    if name_or_path in rule_sets():
        return _shipped_set(name_or_path)
    if versions := _sets_of(name_or_path):
        begun = [each for each in versions if at is None or _counts(each, at)]
        return begun[-1] if begun else versions[0]
    if name_or_path in names():
        return read_questions(shipped(name_or_path))
    if versions_of(name_or_path):
        return questions_of(load(name_or_path, at))
    raw = file_bytes(name_or_path)
    if name_or_path != STDIN:
        refuse_changed(Path(name_or_path), raw)
    return read_questions(raw)


def _sets_of(rule_set_id: str) -> list[Questions]:
    """Return the shipped versions of a rule set, the earliest first."""
    found = [each for each in map(_shipped_set, _RULE_SETS) if each.ref.id == rule_set_id]
    return sorted(found, key=lambda each: each.ref.version)


def _counts(questions: Questions, at: Instant) -> bool:
    return questions.starts is not None and questions.starts <= at


@cache
def _shipped_set(name: str) -> Questions:
    return read_questions(shipped(name))


def file_bytes(path: str) -> bytes:
    """
    Return the bytes of a rule file on disk, read no further than a rule file may be long.

    Args:
        path: Where it is; - reads standard input.

    Raises:
        NotFoundError: There is no such file.
        RuleError: It cannot be read.
    """
    if path == STDIN:
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    try:
        with Path(path).open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise _no_such(path) from error
    except (OSError, ValueError) as error:
        raise RuleError(f"cannot read {path!r}: {error}", advice="name a file") from error


def _versions() -> list[str]:
    return [name for name in names() if not name.endswith(_DRAFT)]


@cache
def _shipped_file(name: str) -> RuleFile:
    return read_protocol(shipped(name))


def _no_such(name: str) -> NotFoundError:
    known = [*ids(), *names(), *rule_sets()]
    close = get_close_matches(name, known, 1)
    advice = f"did you mean {close[0]}?" if close else f"shipped: {', '.join(known)}"
    return NotFoundError(f"no protocol or file {name!r}", advice=advice)
