"""
One spelling for each record, so that its bytes can be hashed and compared for ever.

JSON as RFC 8785 spells it, narrowed to what the ledger holds: text in Unicode's composed form
(NFC), whole numbers smaller than 2^53, true, false, null, lists, and maps with text for keys.
A fraction has no place here: volumes are microlitres and temperatures thousandths of a degree.
"""

import json
import unicodedata
from collections.abc import Mapping

from msgspec import Struct, to_builtins

from thawline.base.errors import RecordError
from thawline.ledger.entries import Plain

_END_OF_EXACT = (
    2**53
)  # from here on a JSON number may stand for its neighbour: RFC 8785, 3.2.2.3


def canonical(value: Plain) -> bytes:
    """
    Return the one spelling of a value, as UTF-8.

    Raises:
        RecordError: It holds a fraction, a number too large, text that is not composed, or
            something that is not JSON.

    Source: RFC 8785, JSON Canonicalization Scheme, 2020, section 3.2; our narrowing of it is
        docs/reference/ledger-format.md.
    """
    text = json.dumps(_ordered(value), ensure_ascii=False, separators=(",", ":"))
    return text.encode()


def composed(value: Plain) -> Plain:
    """Return the value with all its text in composed form; keys stay as they are."""
    if isinstance(value, str):
        return value if value.isascii() else unicodedata.normalize("NFC", value)
    if isinstance(value, Mapping):
        return {key: composed(held) for key, held in value.items()}
    if isinstance(value, list | tuple):
        return [composed(held) for held in value]
    return value


def body_bytes(body: Struct) -> bytes:
    """Return the canonical bytes of an event, or of anything else made of plain values."""
    return canonical(composed(to_builtins(body)))


def _ordered(value: Plain) -> Plain:
    """Return the value with its maps in RFC 8785's order, after looking at each part of it."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, int):
        return _whole(value)
    if isinstance(value, Mapping):
        keys = sorted((_text(key) for key in value), key=_utf16)
        return {key: _ordered(value[key]) for key in keys}
    if isinstance(value, list | tuple):
        return [_ordered(held) for held in value]
    raise _refused(f"not a plain value: {value!r}", "use text, whole numbers or true and false")


def _utf16(key: str) -> bytes:
    return key.encode("utf-16-be")


def _text(value: str) -> str:
    if not isinstance(value, str):
        raise _refused(f"a key that is not text: {value!r}", "name it in words")
    if value.isascii():
        return value
    if any("\ud800" <= sign <= "\udfff" for sign in value):
        raise _refused(f"text with half a character in it: {value!a}", "type it again")
    if not unicodedata.is_normalized("NFC", value):
        raise _refused(f"text that is not composed: {value!a}", "compose it (NFC) first")
    return value


def _whole(value: int) -> int:
    if not -_END_OF_EXACT < value < _END_OF_EXACT:
        raise _refused(f"a number that is too large: {value}", "keep numbers below 2^53")
    return value


def _refused(says: str, advice: str) -> RecordError:
    return RecordError(says, advice=advice)
