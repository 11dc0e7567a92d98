"""Secrets that are handed out and never kept: only a keyed hash of each stays in `ops.db`."""

import secrets
from hashlib import sha256
from hmac import digest
from uuid import UUID

from django.conf import settings

_TABLET_BYTES = 32  # 256 bits
_LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # 32, none of which looks like another
_SIGNS, _GROUP = 8, 4  # 40 bits; NIST SP 800-63B asks for 20 where guesses are counted


def tablet_secret() -> str:
    """Return a new secret for a tablet's cookie."""
    return secrets.token_urlsafe(_TABLET_BYTES)


def code_of(act_id: UUID) -> str:
    """Return the code that an act handed out, as in 7KQ2-M9XA; the same for the same act."""
    made = digest(settings.PEPPER.encode(), f"code {act_id}".encode(), sha256)
    signs = "".join(_LETTERS[byte % len(_LETTERS)] for byte in made[:_SIGNS])
    return f"{signs[:_GROUP]}-{signs[_GROUP:]}"


def kept(secret: str) -> str:
    """Return what is kept of a secret; without the site's pepper it tells nothing."""
    return digest(settings.PEPPER.encode(), secret.encode(), sha256).hex()


def typed(text: str) -> str:
    """Return a code as it was handed out, however it was typed."""
    signs = "".join(sign for sign in text.upper() if sign in _LETTERS)
    return f"{signs[:_GROUP]}-{signs[_GROUP:]}"
