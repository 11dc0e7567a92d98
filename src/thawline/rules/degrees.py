"""
Whether the degrees of a band are what they say: the right unit, sign and order.

The slips are those seen in print: a lost minus, the °F numbers with °C beside them, the same
number twice, the ends the wrong way round.
"""

from collections.abc import Iterator
from decimal import Decimal

from thawline.base.findings import Level
from thawline.base.quantities import fahrenheit
from thawline.rules.published import Published
from thawline.rules.slips import Leaves, Slip, number, shown

# Whole degrees Fahrenheit are right to half a degree: bands are printed that way.
ROUNDING_F = Decimal("0.5")


def wrong_degrees(leaves: Leaves, published: Published) -> Iterator[Slip]:
    """Yield what is wrong with the degrees of each band of a file."""
    for band in band_keys(leaves):
        for end in (f"{band}.low", f"{band}.high"):
            yield from _pair(leaves, end, published)
            yield from _swapped(leaves, end, published)
            yield from _sign(leaves, end, published)
        yield from _reversed(leaves, band)


def band_keys(leaves: Leaves) -> list[str]:
    """Return the dotted keys of the bands of a file, in its order."""
    keys = [key.split(".")[:2] for key in leaves if key.startswith("bands.")]
    return list(dict.fromkeys(".".join(parts) for parts in keys))


def _pair(leaves: Leaves, end: str, published: Published) -> Iterator[Slip]:
    in_c, in_f = number(leaves, f"{end}_c"), number(leaves, f"{end}_f")
    if in_c is None or in_f is None or abs(in_f - fahrenheit(in_c)) <= ROUNDING_F:
        return
    # At -40 the same number in both is right, and was let through above.
    right, key = shown(fahrenheit(in_c)), f"{end}_f"
    off = shown(abs(in_f - fahrenheit(in_c)))
    if in_c == in_f:
        says = f"{end} is {shown(in_c)} in both units; {shown(in_c)} °C is {right} °F"
        yield Slip("unit-slip", Level.STOP, key, says, value=in_f, unit="F")
    elif any((s.key, s.value_c, s.value_f) == (end, in_c, in_f) for s in published.superseded):
        says = f"{shown(in_f)} °F for {shown(in_c)} °C is an old rounding; it is {right} °F"
        yield Slip("legacy-rounding", Level.CHECK, key, says, value=in_f, unit="F")
    else:
        says = f"{shown(in_c)} °C is {right} °F, not {shown(in_f)} °F ({off} off)"
        yield Slip("unit-mismatch", Level.STOP, key, says, value=in_f, unit="F")


def _swapped(leaves: Leaves, end: str, published: Published) -> Iterator[Slip]:
    in_c, in_f = number(leaves, f"{end}_c"), number(leaves, f"{end}_f")
    ever_c, ever_f = published.ever(f"{end}_c"), published.ever(f"{end}_f")
    if in_c in ever_f - ever_c:
        says = f"{shown(in_c)} is the published number in °F, here in °C"
        yield Slip("probably-fahrenheit", Level.STOP, f"{end}_c", says, value=in_c, unit="C")
    if in_f in ever_c - ever_f and in_c != in_f:
        says = f"{shown(in_f)} is the published number in °C, here in °F"
        yield Slip("unit-slip", Level.STOP, f"{end}_f", says, value=in_f, unit="F")


def _sign(leaves: Leaves, end: str, published: Published) -> Iterator[Slip]:
    in_c, in_f = number(leaves, f"{end}_c"), number(leaves, f"{end}_f")
    for unit, value in (("C", in_c), ("F", in_f)):
        if value is None:
            continue
        ever = published.ever(f"{end}_{unit.lower()}")
        if (value not in ever and -value in ever) or _only_sign(in_c, in_f, unit):
            key = f"{end}_{unit.lower()}"
            says = f"{shown(value)} °{unit} has the wrong sign; it is {shown(-value)} °{unit}"
            yield Slip("sign", Level.STOP, key, says, value=value, unit=unit)


def _only_sign(in_c: Decimal | None, in_f: Decimal | None, unit: str) -> bool:
    """Say whether the pair would be right if the number in that unit had the other sign."""
    if in_c is None or in_f is None or abs(in_f - fahrenheit(in_c)) <= ROUNDING_F:
        return False
    turned_c, turned_f = (-in_c, in_f) if unit == "C" else (in_c, -in_f)
    return abs(turned_f - fahrenheit(turned_c)) <= ROUNDING_F


def _reversed(leaves: Leaves, band: str) -> Iterator[Slip]:
    for unit in ("C", "F"):
        low = number(leaves, f"{band}.low_{unit.lower()}")
        high = number(leaves, f"{band}.high_{unit.lower()}")
        if low is not None and high is not None and low >= high:
            says = f"{shown(low)} °{unit} to {shown(high)} °{unit} is the wrong way round"
            key = f"{band}.low_{unit.lower()}"
            yield Slip("reversed", Level.STOP, key, says, value=low, unit=unit)
