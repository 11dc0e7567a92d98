"""
What a carton's code says: trade item, lot, expiry, serial number; bytes to values.

A scanner types the code as text. Lot and serial number have no fixed length and end at a
separator (ASCII 29), which many a scanner drops or turns into something else. Where it is
lost, the lots that are on the site say where a lot ends; where two readings fit, both come.
Source: GS1 General Specifications, sections 3 (application identifiers) and 7.8 (strings).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from biip import ParseConfig, ParseError
from biip.gs1_messages import GS1Message

from thawline.base.errors import ExchangeError

SEPARATOR = "\x1d"
_SYMBOLS = ("]d2", "]C1", "]Q3", "]e0")
"""What a scanner puts before a GS1 code, where it names the kind of code."""
_TRADE_ITEM, _LOT, _SERIAL = "01", "10", "21"
_EXPIRY = "17"


@dataclass(frozen=True, slots=True)
class Carton:
    """What one reading of a code says; None: it says nothing of it."""

    gtin: str
    lot: str | None
    expires: date | None
    serial: str | None

    @property
    def expiry(self) -> str | None:
        """Return the last day as the ledger writes it."""
        return self.expires.isoformat() if self.expires else None


def looks_like_gs1(text: str) -> bool:
    """Say whether a scanned text begins as a GS1 code of a trade item does."""
    bare = _bare(text)
    return bare.startswith(_TRADE_ITEM) and bare[2:16].isascii() and bare[2:16].isdigit()


def readings(text: str, lots: Iterable[str], separator: str = SEPARATOR) -> list[Carton]:
    """
    Return every way in which a code can be read, given the lots on the site.

    One: it is clear. Two or more: somebody must say which; none of them is preferred.

    Args:
        text: As the scanner typed it.
        lots: Those that are on the site, as printed.
        separator: What this scanner types for ASCII 29; empty: nothing.

    Raises:
        ExchangeError: It is no GS1 code, a digit is wrong, or two of its parts disagree.
    """
    bare = _bare(text)
    if separator:
        bare = bare.replace(separator, SEPARATOR)
    plain = _read(bare)
    known = [lot for lot in dict.fromkeys(lots) if lot]
    found = [plain] if SEPARATOR in bare or plain.lot in known else []
    if SEPARATOR not in bare:
        found += [each for lot in known for each in _split_at(bare, lot)]
    return list(dict.fromkeys(found)) or [plain]


def _bare(text: str) -> str:
    bare = text.strip(" \r\n\t")
    for symbol in _SYMBOLS:
        bare = bare.removeprefix(symbol)
    return bare.strip(SEPARATOR)


def _split_at(bare: str, lot: str) -> Iterator[Carton]:
    """Yield what the code says if a lot of the site stands in it and its separator is lost."""
    part = _LOT + lot
    at = bare.find(part, len(_TRADE_ITEM))
    while at >= 0:
        before, after = bare[:at], bare[at + len(part) :]
        kept = SEPARATOR.join(each for each in (before, part, after) if each)
        try:
            read = _read(kept)
        except ExchangeError:
            read = None
        if read is not None and read.lot == lot and read.gtin:
            yield read
        at = bare.find(part, at + 1)


def _read(bare: str) -> Carton:
    """Return what a code with its separators says."""
    config = ParseConfig(separator_chars=(SEPARATOR,))
    try:
        parts = GS1Message.parse(bare, config=config).element_strings
    except ParseError as error:
        raise ExchangeError(
            f"this code cannot be read: {error}", advice="scan it again, or type the lot"
        ) from error
    told: dict[str, str] = {}
    dates: dict[str, date | None] = {}
    for each in parts:
        if told.setdefault(each.ai.ai, each.value) != each.value:
            raise ExchangeError(
                f"the code says two things for ({each.ai.ai}): {told[each.ai.ai]} "
                f"and {each.value}",
                advice="set the carton aside and call the vaccine coordinator",
            )
        dates[each.ai.ai] = each.date
    return Carton(
        gtin=_checked(told.get(_TRADE_ITEM, "")),
        lot=told.get(_LOT),
        expires=dates.get(_EXPIRY),
        serial=told.get(_SERIAL),
    )


def _checked(gtin: str) -> str:
    """Return the number of a trade item whose last digit fits the others."""
    if gtin and check_digit(gtin[:-1]) != gtin[-1]:
        raise ExchangeError(
            f"a digit is wrong in {gtin}: the last one does not fit",
            advice="scan it again, or type the lot",
        )
    return gtin


def check_digit(digits: str) -> str:
    """
    Return the digit that completes a trade item number.

    Source: GS1 General Specifications, section 7.9 (weights 3 and 1 from the right).
    """
    weights = (_WEIGHT if place % 2 == 0 else 1 for place in range(len(digits)))
    total = sum(int(digit) * w for digit, w in zip(reversed(digits), weights, strict=True))
    return str(-total % _TEN)


_WEIGHT, _TEN = 3, 10
