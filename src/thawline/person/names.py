"""
Whether two written names may be one person's: the same, spelled otherwise, or a part of it.

A person says a name, somebody else typed it months ago from a card: hyphens, apostrophes,
accents, joined parts, an initial or a second family name differ every day. Such names are
neither silently the same nor somebody else's: somebody looks at both. See
docs/background/right-person.md.
"""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from enum import StrEnum


class NameLikeness(StrEnum):
    """How two names that may be one are alike."""

    SAME = "the same"  # but for capitals, order, hyphens and apostrophes between the parts
    SPELLED = "spelled otherwise"  # accents, or parts written together
    PART = "a part of the other"  # parts are missing, or stand as initials


_DOTLESS = "\N{LATIN SMALL LETTER DOTLESS I}"
_ONE_LETTER = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ħ": "h", _DOTLESS: "i", "ŋ": "n", "ŧ": "t"}
    | {"æ": "ae", "œ": "oe", "þ": "th"}
)
"""
Letters that are more than another with a mark, as travel documents write them.

Source: ICAO Doc 9303 part 3, transliterations recommended for use by States, in the copy of
the US Immigration and Customs Enforcement's guide for schools, read 2026-11-27; joined
    letters, thorn and barred d and t from memory of its next pages.
"""
_TWO_LETTERS = str.maketrans({"ä": "ae", "ö": "oe", "ø": "oe", "ü": "ue", "å": "aa"})
"""Letters that the same table, or a later edition of it, writes as two; the same source."""

_PLAIN = re.compile(r"[a-z0-9]+")
_APOSTROPHES = "\N{MODIFIER LETTER TURNED COMMA}\N{MODIFIER LETTER APOSTROPHE}"
"""Letters by their kind that are typed as an apostrophe, or not at all."""

_WITHOUT_VOWELS = ("ARABIC", "HEBREW")
"""Scripts that are written without their vowel signs as well."""


def names_alike(one: str, other: str) -> NameLikeness | None:
    """Return how two names are alike; None where they differ, or one has no letter."""
    words, others = name_words(one), name_words(other)
    if not words or not others:
        return None
    if sorted(words) == sorted(others):
        return NameLikeness.SAME
    if _spellings(words) & _spellings(others):
        return NameLikeness.SPELLED
    bare, bare_others = bare_words(one), bare_words(other)
    return NameLikeness.PART if _is_part(bare, bare_others) else None


def name_words(name: str) -> tuple[str, ...]:
    """Return the parts of a name with their accents, without capitals and punctuation."""
    if name.isascii():
        return tuple(_PLAIN.findall(name.lower()))
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFKC", name).casefold())
    kept = "".join(sign if _is_written(sign) else " " for sign in folded)
    return tuple(kept.split())


def bare_words(name: str) -> tuple[str, ...]:
    """Return the parts of a name in plain letters: no accents, no joined or barred letters."""
    return tuple(map(_bare, name_words(name)))


def _is_written(sign: str) -> bool:
    """Say whether a sign is a letter, a mark on one, or a digit."""
    return unicodedata.category(sign)[0] in "LMN" and sign not in _APOSTROPHES


def _bare(word: str) -> str:
    if word.isascii():
        return word
    base, kept = " ", []
    for sign in unicodedata.normalize("NFKD", word.translate(_ONE_LETTER)):
        if unicodedata.category(sign)[0] != "M":
            base = sign
        elif _has_marks_to_spare(base):
            continue
        kept.append(sign)
    return "".join(kept)


def _has_marks_to_spare(base: str) -> bool:
    """
    Say whether a letter stays the same name's without its mark.

    In scripts with capitals a mark is an accent; in others it may be the vowel itself.
    """
    return base.upper() != base or unicodedata.name(base, "").startswith(_WITHOUT_VOWELS)


def _spellings(words: Sequence[str]) -> frozenset[str]:
    """Return the ways a name may be written: plainly, with two letters for one, joined."""
    plain = [_bare(word) for word in words]
    double = [_bare(word.translate(_TWO_LETTERS)) for word in words]
    return frozenset(each for way in (plain, double) for each in _written(way))


def _written(words: Sequence[str]) -> Iterator[str]:
    """Yield the parts in no order, and joined from each of them on: either name first."""
    yield " ".join(sorted(words))
    for nth in range(len(words)):
        yield "".join([*words[nth:], *words[:nth]])


def _is_part(words: Sequence[str], others: Sequence[str]) -> bool:
    """Say whether all parts of the shorter name are in the longer, one of them in full."""
    few, many = sorted((words, others), key=len)
    missing = list((Counter(few) - Counter(many)).elements())
    left = list((Counter(many) - Counter(few)).elements())
    return len(missing) < len(few) and _are_initials(missing, left)


def _are_initials(missing: Sequence[str], left: Sequence[str]) -> bool:
    """Say whether each of the parts is the initial of another one, or it of them."""
    if not missing:
        return True
    word, *more = missing
    fit = [n for n, other in enumerate(left) if _is_initial(word, other)]
    return any(_are_initials(more, [*left[:n], *left[n + 1 :]]) for n in fit)


def _is_initial(one: str, other: str) -> bool:
    letter, word = sorted((one, other), key=len)
    return len(letter) == 1 and letter.upper() != letter and word.startswith(letter)
