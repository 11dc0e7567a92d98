"""A band as people name it: by the protocol's name, by a plain word, or as two ends in °C."""

import re
from dataclasses import dataclass
from decimal import Decimal

from thawline.base.errors import RecordError
from thawline.rules.protocol import Protocol
from thawline.store.limits import Limits, between, limits

_TYPED = re.compile(r"([+-]?\d{1,3}(?:\.\d{1,3})?)\.\.([+-]?\d{1,3}(?:\.\d{1,3})?)", re.ASCII)
# As people say it: as the file does.
_PLAIN = {"fridge": "refrigerator", "freezer": "frozen"}


@dataclass(frozen=True, slots=True)
class NamedBand:
    """
    A band to hold a record against.

    Args:
        name: The protocol's; "" for one that was typed.
        item: Its item in the protocol; None for one that was typed.
        limits: Its ends, both inside.
    """

    name: str
    item: str | None
    limits: Limits


def band_named(protocol: Protocol, said: str) -> NamedBand:
    """
    Return the protocol's band of that name, or the one that was typed as LO..HI in °C.

    Raises:
        RecordError: There is no such band, its ends are the wrong way round, or they are a
            band's numbers in °F.
    """
    if typed := _TYPED.fullmatch(said):
        return NamedBand("", None, _between(protocol, said, *map(Decimal, typed.groups())))
    name = _PLAIN.get(said, said)
    if name not in protocol.bands:
        known = ", ".join(["fridge", *protocol.bands])
        raise RecordError(
            f"no band {said!r} in the protocol",
            advice=f"one of {known}, or two ends in °C, as in 2..8",
        )
    band = protocol.bands[name]
    return NamedBand(name, band.item, limits(band))


def _between(protocol: Protocol, said: str, low: Decimal, high: Decimal) -> Limits:
    if low >= high:
        raise RecordError(
            f"a band that is the wrong way round: {said}", advice=f"write {high}..{low}"
        )
    if any((low, high) == (band.low_f, band.high_f) for band in protocol.bands.values()):
        raise RecordError(
            f"a band with the protocol's numbers in °F: {said}",
            advice="write it in °C, or name it, as in fridge or frozen",
        )
    return between(low, high)
