"""
Ids that nobody else mints, in the order of time: UUID version 7.

Source: RFC 9562, Universally Unique IDentifiers, 2024, section 5.7.
"""

from random import Random
from secrets import randbits
from uuid import UUID

from thawline.app.ports import Mint, Now
from thawline.base.instants import to_ms

_RANDOM_BITS = 74
_LOW_BITS = 62
_VERSION = 7 << 76
_VARIANT = 2 << _LOW_BITS


def mint_with(now: Now) -> Mint:
    """Return what mints ids for acts asked for now."""
    return lambda: uuid7(to_ms(now()), randbits(_RANDOM_BITS))


def seeded_mint(now: Now, seed: int) -> Mint:
    """Return what mints the same ids for the same seed and times: for the demo and tests."""
    dice = Random(seed)  # noqa: S311 - the demo must come out the same each time
    return lambda: uuid7(to_ms(now()), dice.getrandbits(_RANDOM_BITS))


def uuid7(milliseconds: int, random_bits: int) -> UUID:
    """Return the id of version 7 for a time since 1970 and 74 random bits."""
    high, low = divmod(random_bits, 1 << _LOW_BITS)
    return UUID(int=milliseconds << 80 | _VERSION | high << 64 | _VARIANT | low)
