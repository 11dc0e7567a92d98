"""
Whether a rule file has the tables and keys of format 1: every fault, not the first only.

The types in `rules.protocol` are the format. This module walks a parsed file along them and
keeps what is readable, so that an audit can look at every figure of a faulty file too.
"""

import re
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Union, get_args, get_origin

import msgspec

from thawline.base.durations import Allowance, read_allowance
from thawline.base.errors import RuleError
from thawline.rules.faults import Fault
from thawline.rules.lengths import reading_of
from thawline.rules.text import Text

Leaf = str | int | bool | Decimal | date | datetime | Allowance
LARGEST = Decimal(1_000_000)
MOST_DECIMALS = 6
LONGEST_SHOWN = 40

_NAME = re.compile(r"[A-Za-z0-9_-]+", re.ASCII)
_SAID: dict[object, str] = {
    str: "a text in quotes",
    int: "a whole number",
    bool: "true or false",
    Decimal: "a number",
    date: "a date, as in 2026-02-02",
    datetime: "a time with its offset, as in 2026-02-02T06:00:00-06:00",
    Allowance: "a duration in ISO 8601, as in PT2H30M or P30D",
}


@dataclass(frozen=True, slots=True)
class Shape:
    """What could be read of a file: each leaf by its dotted key, and the faults."""

    leaves: dict[str, Leaf] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)


def shape_of(text: Text, form: type) -> Shape:
    """Return the leaves and the faults of a file read along a type."""
    shape = Shape()
    for found in _walk(text.tree, form, ""):
        if isinstance(found, Fault):
            shape.faults.append(replace(found, line=text.line(found.key)))
        else:
            shape.leaves[found[0]] = found[1]
    return shape


def filled(value: object, leaves: Mapping[str, Leaf], key: str = "") -> object:
    """Return the tables of a file with each leaf as it was read, for msgspec to convert."""
    if isinstance(value, Mapping):
        return {name: filled(entry, leaves, _under(key, name)) for name, entry in value.items()}
    if isinstance(value, list):
        return [filled(entry, leaves, f"{key}.{n}") for n, entry in enumerate(value)]
    return leaves[key]


_Found = Iterator[Fault | tuple[str, Leaf]]


def _walk(value: object, form: object, key: str) -> _Found:
    kinds = get_args(form)
    if get_origin(form) in {Union, types.UnionType}:
        yield from _walk(value, kinds[0], key)
    elif get_origin(form) is dict:
        yield from _named(value, kinds[1], key)
    elif get_origin(form) is tuple:
        yield from _listed(value, kinds[0], key)
    elif isinstance(form, type) and issubclass(form, msgspec.Struct):
        yield from _table(value, form, key)
    else:
        yield from _leaf(value, form, key)


def _named(value: object, form: object, key: str) -> _Found:
    if not isinstance(value, Mapping):
        yield _wrong(key, value, "a table")
        return
    for name, entry in value.items():
        if _NAME.fullmatch(name):
            yield from _walk(entry, form, f"{key}.{name}")
        else:
            says = f"{key} has the name {_shown(name)}"
            yield Fault("wrong-type", f"{key}.{name}", says, "use letters, digits, - and _")


def _listed(value: object, form: object, key: str) -> _Found:
    if not isinstance(value, list):
        yield _wrong(key, value, "a list")
        return
    for number, entry in enumerate(value):
        yield from _walk(entry, form, f"{key}.{number}")


@cache
def _fields(form: type[msgspec.Struct]) -> Mapping[str, msgspec.structs.FieldInfo]:
    return {known.encode_name: known for known in msgspec.structs.fields(form)}


def _table(value: object, form: type[msgspec.Struct], key: str) -> _Found:
    if not isinstance(value, Mapping):
        yield _wrong(key, value, "a table")
        return
    fields = _fields(form)
    for name in value.keys() - fields.keys():
        yield _unknown(_under(key, name), name, list(fields))
    for name, known in fields.items():
        if name in value:
            yield from _walk(value[name], known.type, _under(key, name))
        elif known.required:
            yield _missing(_under(key, name), name)


def _leaf(value: object, form: object, key: str) -> _Found:
    try:
        leaf = _converted(value, form)
    except RuleError as error:
        meant = reading_of(str(value))
        advice = f"{meant}; {error.advice}" if meant else error.advice
        yield Fault("ambiguous-duration", key, f"{key}: {error.says}", advice)
    except msgspec.ValidationError:
        yield _wrong(key, value, _wanted(form))
    else:
        if form is Decimal and isinstance(value, str):
            yield _wrong(key, value, _SAID[Decimal])
        elif isinstance(leaf, int | Decimal) and not _sensible(leaf):
            yield _out_of_range(key, leaf)
        elif isinstance(leaf, datetime) and leaf.utcoffset() is None:
            yield _wrong(key, leaf, _SAID[datetime])
        else:
            yield key, leaf


def _converted(value: object, form: object) -> Leaf:
    if form is Allowance and isinstance(value, str):
        return read_allowance(value)
    leaf: Leaf = msgspec.convert(value, form)
    return leaf


def _sensible(number: int | Decimal) -> bool:
    value = Decimal(number)
    if not value.is_finite():
        return False
    exponent = value.as_tuple().exponent
    return isinstance(exponent, int) and exponent >= -MOST_DECIMALS and abs(value) <= LARGEST


def _under(key: str, name: str) -> str:
    return f"{key}.{name}" if key else name


def _wanted(form: object) -> str:
    if isinstance(form, type) and issubclass(form, StrEnum):
        return f"one of {', '.join(form)}"
    return _SAID[form]


def _shown(value: object) -> str:
    """Return a value as the file writes it, shortened where it is long."""
    if isinstance(value, datetime):
        return value.isoformat()
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= LONGEST_SHOWN else f"{text[: LONGEST_SHOWN - 1]}…"


def _wrong(key: str, value: object, wanted: str) -> Fault:
    return Fault("wrong-type", key, f"{key} cannot be {_shown(value)}", f"write {wanted}")


def _out_of_range(key: str, number: int | Decimal) -> Fault:
    return Fault(
        "wrong-value",
        key,
        f"{key} cannot be {_shown(number)}",
        f"write a number up to {LARGEST:,} with at most {MOST_DECIMALS} decimals",
    )


def _unknown(key: str, name: str, names: list[str]) -> Fault:
    close = get_close_matches(name, names)
    advice = f"did you mean {close[0]}?" if close else f"known here: {', '.join(names)}"
    return Fault("unknown-key", key, f"unknown key: {key}", advice)


def _missing(key: str, name: str) -> Fault:
    code = "missing-source" if name == "source" else "missing-item"
    return Fault(code, key, f"missing: {key}", f"add {name} to the table")
