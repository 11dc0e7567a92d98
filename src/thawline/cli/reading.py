"""Reads what a person typed or named on the command line: JSON files, moments, protocols."""

import json
import sys
from pathlib import Path
from typing import Any

from thawline.adapters import rule_files
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant
from thawline.rules.reading import RuleFile
from thawline.rules.rule_sets import Questions

PUBLISHED = "published"
NATIONAL = "national"
_MOST_BYTES = 4_000_000


def read_json(path: str) -> dict[str, Any]:
    """
    Return the JSON object in a file; `-` reads standard input.

    Raises:
        RecordError: It is too long, not JSON or not an object.
        NotFoundError: There is no such file.
    """
    value = _json(path)
    if not isinstance(value, dict):
        raise RecordError(f"{path}: not a JSON object", advice="write it as one object")
    return value


def read_stories(path: str) -> list[dict[str, Any]]:
    """
    Return the stories in a JSON file: a list of them, {"stories": [...]} or a single one.

    Raises:
        RecordError: It is too long, not JSON or has something else in it.
        NotFoundError: There is no such file.
    """
    value = _json(path)
    if isinstance(value, dict):
        value = value.get("stories", [value])
    if not isinstance(value, list) or not all(isinstance(story, dict) for story in value):
        raise RecordError(f"{path}: not a list of stories", advice="write [{...}, {...}]")
    return value


def _json(path: str) -> Any:
    text = _text(path)
    try:
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_each_key_once)
    except (ValueError, RecursionError) as error:
        raise RecordError(
            f"{path}: not JSON: {error}", advice="write it as one object"
        ) from error


def _each_key_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    told: dict[str, Any] = {}
    for key, value in pairs:
        if key in told:
            raise ValueError(f"{key!r} is written twice")
        told[key] = value
    return told


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is not a number")


def _text(path: str) -> str:
    if path == "-":
        raw = sys.stdin.buffer.read(_MOST_BYTES + 1)
    else:
        try:
            with Path(path).open("rb") as file:
                raw = file.read(_MOST_BYTES + 1)
        except OSError as error:
            raise NotFoundError(f"cannot read {path!r}: {error.strerror}") from error
    if len(raw) > _MOST_BYTES:
        raise RecordError(f"{path}: longer than {_MOST_BYTES:,} bytes")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RecordError(f"{path}: not UTF-8 text") from error


def rules_for(protocol: str | None, at: Instant | None) -> RuleFile:
    """Return the protocol that was named, else the published guidance in force then."""
    return rule_files.load(protocol or PUBLISHED, at)


def questions_for(rules: str | None, at: Instant | None) -> Questions:
    """Return the rule set or protocol that was named, else the national text in force then."""
    return rule_files.load_questions(rules or NATIONAL, at)
