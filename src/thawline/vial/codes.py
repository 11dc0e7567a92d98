"""
Vial codes: two letters, two digits and a check letter, as in HK47M.

Nineteen letters that are not mistaken for one another or for a digit. The check letter is a
weighted sum modulo 19, a prime, over the characters and the site's name, so one wrong
character, or two neighbours swapped within the letters or the digits, never gives another
code of this site. Codes follow each other in a scattered order and repeat after 36,100 vials.
"""

import re
from collections.abc import Iterator
from hashlib import sha256

from thawline.base.errors import RecordError
from thawline.base.ids import SyringeCode, VialCode

LETTERS = "ACDEFHJKLMNPRTUVWXY"
_SIZE = len(LETTERS)
_WEIGHTS = (2, 3, 5, 7)
CODES = _SIZE * _SIZE * 100
"""How many codes a site has before they repeat."""

_STEP = 15_679  # shares no divisor with the count, so the order visits every code once
_FORM = re.compile(rf"[{LETTERS}]{{2}}\d{{2}}[{LETTERS}]", re.ASCII)
_SYRINGE = re.compile(rf"([{LETTERS}]{{2}}\d{{2}}[{LETTERS}])-(\d{{2,3}})", re.ASCII)


def check_letter(first_four: str, site: str) -> str:
    """Return the letter that completes a code at this site."""
    total = sum(w * _worth(c) for w, c in zip(_WEIGHTS, first_four, strict=True))
    return LETTERS[(total + _site_constant(site)) % _SIZE]


def vial_code(number: int, site: str) -> VialCode:
    """Return the code of the site's n-th vial, counted from 0; repeats after 36,100."""
    letters, digits = divmod((number + 1) * _STEP % CODES, 100)
    first, second = divmod(letters, _SIZE)
    four = f"{LETTERS[first]}{LETTERS[second]}{digits:02d}"
    return VialCode(four + check_letter(four, site))


def read_vial_code(text: str, site: str) -> VialCode:
    """
    Return the code typed or scanned, with small letters made large.

    Raises:
        RecordError: It has another form, or its check letter does not fit this site.
    """
    code = text.strip().upper()
    if not _FORM.fullmatch(code):
        raise RecordError(
            f"not a vial code: {text!r}",
            advice="two letters, two digits and a letter, as HK47M",
        )
    if check_letter(code[:4], site) != code[4]:
        raise RecordError(
            f"vial code {code} does not check at {site}",
            advice="read it again from the flag, letter by letter",
        )
    return VialCode(code)


def syringe_codes(vial: VialCode, drawn_before: int, count: int) -> Iterator[SyringeCode]:
    """Yield the codes of the next syringes drawn from a vial: HK47M-07."""
    for number in range(drawn_before + 1, drawn_before + count + 1):
        yield SyringeCode(f"{vial}-{number:02d}")


def vial_of(syringe: str) -> VialCode | None:
    """Return the vial that a syringe code names; None for one that came ready drawn."""
    match = _SYRINGE.fullmatch(syringe.strip().upper())
    return VialCode(match.group(1)) if match else None


def _worth(character: str) -> int:
    return int(character) if character.isdigit() else LETTERS.index(character)


def _site_constant(site: str) -> int:
    return int.from_bytes(sha256(site.encode()).digest()[:4]) % _SIZE
