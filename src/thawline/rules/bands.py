"""
Which band a temperature belongs to, and whether the bands of a file leave any doubt about it.

Both ends are inside a band. Where two bands share an end, the colder one owns it: 8.0 °C is
still refrigerated, 8.1 °C is not. What lies between two bands is out, and the file names why.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from thawline.base.findings import Level
from thawline.rules.degrees import band_keys
from thawline.rules.protocol import Band
from thawline.rules.published import Published
from thawline.rules.slips import Leaves, Slip, number, shown

_THAWING = ("bands.frozen", "bands.refrigerator")


def band_at(bands: Mapping[str, Band], temperature_c: Decimal) -> str | None:
    """Return the name of the band a temperature is in; None when it is in nobody's."""
    inside = [
        name for name, band in bands.items() if band.low_c <= temperature_c <= band.high_c
    ]
    return min(inside, key=lambda name: bands[name].low_c, default=None)


@dataclass(frozen=True, slots=True)
class _Range:
    key: str
    low_c: Decimal
    high_c: Decimal


def doubtful_bands(leaves: Leaves, published: Published) -> Iterator[Slip]:
    """Yield bands that overlap, and the gaps between bands that nobody named."""
    ranges = _ranges(leaves)
    for colder, warmer in pairwise(ranges):
        if warmer.low_c < colder.high_c:
            yield _overlap(colder, warmer)
        elif warmer.low_c > colder.high_c and not _named(leaves, colder):
            yield _gap(colder, warmer, published)


def _ranges(leaves: Leaves) -> list[_Range]:
    """Return the readable bands that are the right way round, coldest first."""
    found = []
    for key in band_keys(leaves):
        low, high = number(leaves, f"{key}.low_c"), number(leaves, f"{key}.high_c")
        if low is not None and high is not None and low < high:
            found.append(_Range(key, low, high))
    return sorted(found, key=lambda band: (band.low_c, band.high_c))


def _named(leaves: Leaves, colder: _Range) -> bool:
    return f"{colder.key}.named_gap_above" in leaves


def _overlap(colder: _Range, warmer: _Range) -> Slip:
    ends = f"{shown(warmer.low_c)} to {shown(min(colder.high_c, warmer.high_c))} °C"
    says = f"{ends} is in {colder.key} and in {warmer.key}"
    return Slip("overlap", Level.ACT, f"{warmer.key}.low_c", says, value=warmer.low_c, unit="C")


def _gap(colder: _Range, warmer: _Range, published: Published) -> Slip:
    says = (
        f"{shown(colder.high_c)} to {shown(warmer.low_c)} °C is in no band and counts as out; "
        f"say why with {colder.key}.named_gap_above"
    )
    level = Level.CHECK if _expected(colder, warmer, published) else Level.ACT
    return Slip("gap", level, f"{colder.key}.high_c", says, value=colder.high_c, unit="C")


def _expected(colder: _Range, warmer: _Range, published: Published) -> bool:
    """Say whether the gap is the thaw itself, or comes of a unit kept narrower than printed."""
    if (colder.key, warmer.key) == _THAWING:
        return True
    return any(colder.high_c < high for high in _numbers(published, f"{colder.key}.high_c"))


def _numbers(published: Published, key: str) -> list[Decimal]:
    return [value for value in published.ever(key) if isinstance(value, Decimal)]
