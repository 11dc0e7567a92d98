"""Alert slabs: how a finding stands on a page, by its level, in words that people say first."""

from dataclasses import dataclass

from thawline.base.findings import Finding, Level

_BARS = {Level.STOP: 3, Level.ACT: 2, Level.CHECK: 1}


@dataclass(frozen=True, slots=True)
class Slab:
    """A finding as an alert slab shows it: level, bars, what is wrong, what to do."""

    level: str
    word: str
    bars: range
    what: str
    do: str
    item: str | None
    code: str


def slab(found: Finding) -> Slab:
    """Return a finding as an alert slab shows it."""
    first, _, rest = found.says.partition(". ")
    return Slab(
        level=found.level.value,
        word=found.level.value.capitalize(),
        bars=range(_BARS[found.level]),
        what=first.rstrip("."),
        do=rest,
        item=found.item,
        code=found.code,
    )
