"""
The characters behind a text file's bytes: which encoding, and when it cannot be told.

A byte order mark decides; then UTF-8, which hardly ever fits by chance; then UTF-16 by its
zero bytes; then Windows-1252. A file that is UTF-8 in one place and not in another is asked
about, because either answer would garble a name.
"""

import codecs
from dataclasses import dataclass

from thawline.base.errors import ExchangeError

ENCODINGS = {
    "utf-8": "UTF-8",
    "utf-16": "UTF-16",
    "utf-16-le": "UTF-16 little-endian",
    "utf-16-be": "UTF-16 big-endian",
    "windows-1252": "Windows-1252",
    "iso-8859-1": "ISO 8859-1",
    "iso-8859-15": "ISO 8859-15",
    "mac-roman": "Mac Roman",
}
"""Encodings that may be asked for, with the names they are shown under."""

_MARKS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with a byte order mark"),
    (codecs.BOM_UTF32_LE, "utf-32-le", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32-be", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)
_OLD_SPREADSHEET = b"\xd0\xcf\x11\xe0"
_CODECS = {"mac-roman": "mac_roman", "windows-1252": "cp1252"}
_ASK = "say which with --encoding, as in --encoding windows-1252"


@dataclass(frozen=True, slots=True)
class Decoded:
    """
    A file's text and the encoding it was read in.

    Args:
        text: Without a byte order mark.
        encoding: As shown to people.
        codec: Name of Python's codec; where there was a mark, it is for what follows the mark.
    """

    text: str
    encoding: str
    codec: str


def decoded(raw: bytes, asked: str | None = None) -> Decoded:
    """
    Return a file's text.

    Raises:
        ExchangeError: It is empty, no text, or its encoding cannot be told.
    """
    if not raw.strip():
        raise ExchangeError("the file is empty", advice="export it again, with its header")
    if raw.startswith(_OLD_SPREADSHEET):
        raise ExchangeError(
            "an old spreadsheet file, not text", advice="save it as .xlsx or CSV"
        )
    if asked is not None:
        return _as_asked(raw, asked)
    for mark, codec, shown in _MARKS:
        if raw.startswith(mark):
            return _strictly(raw[len(mark) :], codec, shown)
    if b"\0" in raw:
        return _by_zero_bytes(raw)
    return _utf8_or_western(raw)


def _as_asked(raw: bytes, asked: str) -> Decoded:
    name = asked.lower().replace("_", "-")
    if name not in ENCODINGS:
        raise ExchangeError(
            f"unknown encoding: {asked!r}", advice=f"one of {', '.join(ENCODINGS)}"
        )
    found = _strictly(raw, _CODECS.get(name, name), ENCODINGS[name])
    return Decoded(found.text.removeprefix("\ufeff"), found.encoding, found.codec)


def _strictly(raw: bytes, codec: str, shown: str) -> Decoded:
    try:
        text = raw.decode(codec)
    except UnicodeDecodeError as error:
        raise _not_in(raw, error, f"not {shown}") from error
    if "\0" in text:
        raise ExchangeError("zero bytes in it: not a text file", advice="export it as CSV")
    return Decoded(text, shown, codec)


def _not_in(raw: bytes, error: UnicodeDecodeError, says: str) -> ExchangeError:
    """Return what is said of the first byte that is no letter of the encoding, and where."""
    before = raw[: error.start]
    line, place = before.count(b"\n") + 1, len(before) - before.rfind(b"\n")
    return ExchangeError(
        f"line {line}: {says}: byte {place} of the line is 0x{raw[error.start]:02x}",
        advice=f"{_ASK}; or export it again, or read a copy with that line put right",
    )


def _by_zero_bytes(raw: bytes) -> Decoded:
    """Read UTF-16 without a mark: zeros in one half of each pair of bytes, and many of them."""
    first, second = raw[0::2], raw[1::2]
    for zeros, others, codec in ((second, first, "utf-16-le"), (first, second, "utf-16-be")):
        if b"\0" not in others and zeros.count(0) > len(zeros) // 2:
            return _strictly(raw, codec, "UTF-16")
    raise ExchangeError("zero bytes in it: not a text file", advice="export it as CSV")


def _utf8_or_western(raw: bytes) -> Decoded:
    try:
        return Decoded(raw.decode("utf-8"), "UTF-8", "utf-8")
    except UnicodeDecodeError as error:
        if _has_utf8_letters(raw):
            raise _not_in(raw, error, "not UTF-8, though other lines are") from error
    return _strictly(raw, "cp1252", "Windows-1252")


def _has_utf8_letters(raw: bytes) -> bool:
    """Say whether any letter beyond ASCII is written in UTF-8."""
    text = raw.decode("utf-8", "surrogateescape")
    return any(letter > "\x7f" and not "\udc80" <= letter <= "\udcff" for letter in text)
