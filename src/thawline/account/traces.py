"""
How much each kind of trace weighs: the table behind the likeliest places of a missing dose.

The weights are data with a source each, in `missing-dose.toml`. None of them is published,
and the file says so. See docs/background/missing-dose.md.
"""

import tomllib
from collections.abc import Collection, Mapping
from datetime import timedelta

import msgspec
from msgspec import Struct

from thawline.base.durations import read_allowance
from thawline.base.errors import RuleError

KINDS = ("published", "common practice", "from memory", "ours")


class Source(Struct, frozen=True, forbid_unknown_fields=True):
    """Who says so; `kind` is one of KINDS."""

    kind: str
    note: str = ""


class Weight(Struct, frozen=True, forbid_unknown_fields=True):
    """What a trace weighs; for doubles also how close in time two records must be."""

    weight: int
    source: str
    within: str | None = None


class Weights(Struct, frozen=True, forbid_unknown_fields=True):
    """The whole table; `nothing_of_this` is the room left for a place without a trace."""

    format: int
    nothing_of_this: Weight
    traces: dict[str, Weight]
    sources: dict[str, Source]

    def within(self, code: str) -> timedelta:
        """Return how close in time two records of that trace must be; zero without a figure."""
        figure = self.traces[code].within
        return timedelta(0) if figure is None else read_allowance(figure).longest()


def read_weights(raw: bytes, codes: Collection[str]) -> Weights:
    """
    Return the table in the bytes of its file, with one weight for each of the codes.

    Raises:
        RuleError: It is no such table, lacks a code or a source, or has a weight below one.
    """
    try:
        table = msgspec.convert(tomllib.loads(raw.decode()), Weights)
    except (UnicodeDecodeError, tomllib.TOMLDecodeError, msgspec.ValidationError) as error:
        raise RuleError(f"weights of a missing dose: {error}") from error
    if apart := sorted(set(table.traces) ^ set(codes)):
        raise RuleError(f"weights of a missing dose: missing or not known: {', '.join(apart)}")
    for name, weight in {"nothing_of_this": table.nothing_of_this, **table.traces}.items():
        _sound(name, weight, table.sources)
    return table


def _sound(name: str, weight: Weight, sources: Mapping[str, Source]) -> None:
    if weight.weight < 1:
        raise RuleError(f"weights of a missing dose: {name} weighs {weight.weight}, at least 1")
    if weight.source not in sources or sources[weight.source].kind not in KINDS:
        raise RuleError(
            f"weights of a missing dose: source {weight.source!r} of {name} has no known kind",
            advice=f"give [sources.{weight.source}] a kind: {', '.join(KINDS)}",
        )
    if weight.within is not None:
        read_allowance(weight.within)
