"""
Whether a passphrase may be used: long enough, and not one that everybody would guess first.

No rule about its signs. Source: NIST SP 800-63B-4, 3.1.1.2 (fifteen signs, a list of what is
refused, no composition), from memory; the list is Django's 20,000 most common ones.
"""

import re
from collections.abc import Iterable

from django.contrib.auth.password_validation import CommonPasswordValidator
from django.core.exceptions import ValidationError

SHORTEST = 15
LONGEST = 128
_DIFFERENT = 5


def fault(passphrase: str, words: Iterable[str]) -> str:
    """Return why a passphrase cannot be used, or ""; `words`: of the site and the person."""
    if len(passphrase) < SHORTEST:
        return f"Enter a passphrase of {SHORTEST} signs or more."
    if len(passphrase) > LONGEST:
        return f"Enter a passphrase of {LONGEST} signs or fewer."
    if len(set(passphrase.casefold())) < _DIFFERENT:
        return f"Enter a passphrase with {_DIFFERENT} or more different signs."
    if _is_common(_bare(passphrase), [_bare(word) for word in words]):
        return "Enter another passphrase: this one is easy to guess."
    return ""


def _is_common(text: str, words: Iterable[str]) -> bool:
    """Say whether only common passwords, or words of the site, are left when put together."""
    rest = text
    for word in sorted((word for word in words if len(word) > 2), key=len, reverse=True):  # noqa: PLR2004  "a", "of"
        rest = rest.replace(word, "")
    unit = re.fullmatch(r"(.+?)\1*", rest)
    return any(_is_listed(part) for part in (text, rest, unit[1] if unit else ""))


def _is_listed(text: str) -> bool:
    if len(text) < _DIFFERENT:
        return True
    try:
        CommonPasswordValidator().validate(text)
    except ValidationError:
        return True
    return False


def _bare(text: str) -> str:
    return re.sub(r"[\W_]+", "", text.casefold())
