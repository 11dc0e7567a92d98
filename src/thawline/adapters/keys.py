"""
A site's keys, one file each, readable by its owner only.

* `site.key` signs heads of the ledger and protocol files (Ed25519); `site.pub` goes with them.
* `identity.key` wraps the key of each person's names; without it no name can be read.
* `backup.key` opens this site's backups (X25519). They are made for `backup.pub` and for every
  other public key in `recipients/`, so that a lost laptop does not take its backups with it.

Most commands use no key, so the cryptography is imported where one is used: it takes longer
than their answer.
"""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from thawline.base.errors import RecordError

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

_SITE, _SITE_PUBLIC = "site.key", "site.pub"
_IDENTITY = "identity.key"
_BACKUP, _BACKUP_PUBLIC = "backup.key", "backup.pub"
_RECIPIENTS = "recipients"
_KEY_BYTES = 32
_OWNER_ONLY = 0o600
_ANYBODY = 0o077


@dataclass(frozen=True, slots=True)
class SiteKey:
    """The site's signing key."""

    _secret: "Ed25519PrivateKey"

    @property
    def public(self) -> bytes:
        """Return the 32 bytes that anybody may have to check what this key signed."""
        return self._secret.public_key().public_bytes_raw()

    def sign(self, message: bytes) -> bytes:
        """Return the signature, 64 bytes."""
        return self._secret.sign(message)


def make_keys(keys: Path) -> None:
    """Make those keys of a site that are not there yet, in its folder for keys."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import (  # noqa: PLC0415  as above
        Ed25519PrivateKey,
    )
    from cryptography.hazmat.primitives.asymmetric.x25519 import (  # noqa: PLC0415  as above
        X25519PrivateKey,
    )

    keys.mkdir(mode=0o700, parents=True, exist_ok=True)
    for name, public_name, kind in (
        (_SITE, _SITE_PUBLIC, Ed25519PrivateKey),
        (_BACKUP, _BACKUP_PUBLIC, X25519PrivateKey),
    ):
        if not (keys / name).exists():
            _write(keys / name, kind.generate().private_bytes_raw())
        if not (keys / public_name).exists():
            secret = kind.from_private_bytes(read_key(keys / name))
            _write(keys / public_name, secret.public_key().public_bytes_raw())
    if not (keys / _IDENTITY).exists():
        _write(keys / _IDENTITY, os.urandom(_KEY_BYTES))


def site_key(keys: Path) -> SiteKey:
    """Return the site's signing key; RecordError if it is not there or is no key."""
    from cryptography.hazmat.primitives.asymmetric.ed25519 import (  # noqa: PLC0415  as above
        Ed25519PrivateKey,
    )

    return SiteKey(Ed25519PrivateKey.from_private_bytes(read_key(keys / _SITE)))


def site_public(keys: Path) -> bytes:
    """Return what checks this site's signatures."""
    return read_key(keys / _SITE_PUBLIC)


def signed_by(public: bytes, message: bytes, signature: bytes) -> bool:
    """Say whether the owner of a public key signed exactly this message."""
    from cryptography.exceptions import InvalidSignature  # noqa: PLC0415  as above
    from cryptography.hazmat.primitives.asymmetric.ed25519 import (  # noqa: PLC0415  as above
        Ed25519PublicKey,
    )

    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except InvalidSignature:
        return False
    return True


def site_checker(keys: Path) -> Callable[[bytes, bytes], bool]:
    """Return what says whether a message has this site's signature."""
    public = site_public(keys)
    return lambda message, signature: signed_by(public, message, signature)


def identity_key(keys: Path) -> bytes:
    """Return the key that wraps the key of each person's names."""
    return read_key(keys / _IDENTITY)


def backup_key(keys: Path) -> bytes:
    """Return the secret that opens backups made for this site."""
    return read_key(keys / _BACKUP)


def backup_recipients(keys: Path) -> list[bytes]:
    """Return the public keys that backups are made for: this site's own first."""
    others = sorted((keys / _RECIPIENTS).glob("*.pub"))
    return [read_key(path) for path in (keys / _BACKUP_PUBLIC, *others)]


def open_to_others(keys: Path) -> list[str]:
    """Return the names of secret keys that other users of this machine can read."""
    secret = [keys / name for name in (_SITE, _IDENTITY, _BACKUP)]
    return [path.name for path in secret if path.exists() and path.stat().st_mode & _ANYBODY]


def _write(path: Path, key: bytes) -> None:
    """Write a key so that its file is there whole or not at all."""
    part = path.with_suffix(".part")
    part.unlink(missing_ok=True)
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, _OWNER_ONLY)
    with os.fdopen(handle, "w") as file:
        file.write(f"{key.hex()}\n")
        file.flush()
        os.fsync(file.fileno())
    part.rename(path)


def read_key(path: Path) -> bytes:
    """Return the 32 bytes of a key's file; RecordError if it is not there or is no key."""
    try:
        key = bytes.fromhex(path.read_text())
    except FileNotFoundError as error:
        raise RecordError(
            f"no key {path.name!r} in {path.parent.name!r}", advice="thawline site new"
        ) from error
    except ValueError as error:
        raise RecordError(f"{path.name!r} is not a key: not hexadecimal") from error
    if len(key) != _KEY_BYTES:
        raise RecordError(f"{path.name!r} is not a key: {len(key)} bytes, not {_KEY_BYTES}")
    return key
