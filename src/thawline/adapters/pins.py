"""
PINs by which a second person makes their own entry, kept as salted scrypt hashes.

One file beside the site's keys, readable by its owner only. It proves who typed, not who they
are: somebody who leads the site gives PINs out, and says there who is the clinical lead.
"""

import hashlib
import json
import os
import re
from hmac import compare_digest
from pathlib import Path

from thawline.base.errors import RecordError
from thawline.base.roles import Role

_FILE = "pins.json"
_KEPT = re.compile(r"[0-9a-f]{32}:[0-9a-f]{64}(:[a-z ]+)?")
_SHORTEST = 6
_COST = {"n": 1 << 14, "r": 8, "p": 1}


class FilePins:
    """The PINs of one site."""

    def __init__(self, keys: Path) -> None:
        self._path = keys / _FILE

    def fits(self, name: str, pin: str) -> bool:
        """Say whether the PIN is this person's; unknown people have none."""
        kept = self._all().get(_key(name))
        if kept is None:
            return False
        salt, hashed = kept.split(":")[:2]
        return compare_digest(_hash(pin, bytes.fromhex(salt)), hashed)

    def role_of(self, name: str) -> Role | None:
        """Return the role a person was given with their PIN; None for none."""
        role = self._all().get(_key(name), "").split(":")[2:]
        return Role(role[0]) if role and role[0] in set(Role) else None

    def put(self, name: str, pin: str, role: Role | None = None) -> None:
        """
        Keep a person's PIN, and the role that goes with it, in place of any earlier one.

        Raises:
            RecordError: It is not six digits or more, or one digit over and over.
        """
        if len(pin) < _SHORTEST or not pin.isdigit() or len(set(pin)) == 1:
            raise RecordError(
                "a PIN has six digits or more, not all the same", advice="choose another one"
            )
        salt = os.urandom(16)
        kept = f"{salt.hex()}:{_hash(pin, salt)}" + (f":{role.value}" if role else "")
        pins = {**self._all(), _key(name): kept}
        fresh = self._path.with_suffix(".new")
        handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w") as file:
            json.dump(pins, file)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(self._path)

    def _all(self) -> dict[str, str]:
        try:
            pins = json.loads(self._path.read_text())
        except FileNotFoundError:
            return {}
        except ValueError as error:
            raise _unreadable() from error
        if not isinstance(pins, dict) or not all(
            _KEPT.fullmatch(str(v)) for v in pins.values()
        ):
            raise _unreadable()
        return pins


def _unreadable() -> RecordError:
    return RecordError(
        f"{_FILE} cannot be read",
        advice="put it back from a copy, or remove it and use thawline site pin",
    )


def _key(name: str) -> str:
    return " ".join(name.casefold().split())


def _hash(pin: str, salt: bytes) -> str:
    return hashlib.scrypt(pin.encode(), salt=salt, dklen=32, **_COST).hex()
