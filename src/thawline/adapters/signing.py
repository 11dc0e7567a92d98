"""
Signatures of protocol files: FILE.sig beside FILE, Ed25519 over the exact bytes.

A signature says two things: not a byte was changed since, and whose key it was. The first is
asked whenever a file is read, the second where somebody decides whether to trust it.
"""

import os
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from thawline.adapters.keys import SiteKey, make_keys, signed_by, site_key, site_public
from thawline.adapters.sites import KEYS, SITES, folder_of, names
from thawline.base.errors import RecordError, RuleError
from thawline.base.findings import Finding, Level

_SUFFIX = ".sig"
_LINES = re.compile(
    r"thawline signature 1\n"
    r"ed25519 key ([0-9a-f]{64})\n"
    r"signature ([0-9a-f]{128})\n?",
    re.ASCII,
)
_MOST_BYTES = 1024
_FINGERPRINT_DIGITS = 16


@dataclass(frozen=True, slots=True)
class Signature:
    """Whose key signed, and the signature."""

    public: bytes
    signature: bytes

    @property
    def fingerprint(self) -> str:
        """Return the beginning of the public key, for people to compare."""
        return self.public.hex()[:_FINGERPRINT_DIGITS]


def sign_file(path: Path, raw: bytes, key: SiteKey) -> Path:
    """Write the signature of a file's bytes beside it; on disk when this returns its path."""
    text = (
        "thawline signature 1\n"
        f"ed25519 key {key.public.hex()}\n"
        f"signature {key.sign(raw).hex()}\n"
    )
    return keep_signature(path, text.encode("ascii"))


def keep_signature(path: Path, signature: bytes) -> Path:
    """
    Put a signature beside a file, in place of an older one; on disk when this returns its path.

    Cut off in between, the older one is there still: half a signature would close the file.
    """
    written = _signature_path(path)
    fresh = written.with_name(f"{written.name}.new")
    with fresh.open("wb") as out:
        out.write(signature)
        out.flush()
        os.fsync(out.fileno())
    fresh.replace(written)
    return written


def signature_beside(path: Path) -> Signature | None:
    """
    Return the signature that stands beside a file; None when there is none.

    Raises:
        RuleError: There is one, and it cannot be read.
    """
    place = _signature_path(path)
    try:
        with place.open("rb") as stream:
            raw = stream.read(_MOST_BYTES + 1)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise RuleError(f"cannot read {place.name}: {error.strerror}") from error
    match = _LINES.fullmatch(raw.decode("ascii", "replace").replace("\r\n", "\n"))
    if match is None:
        raise RuleError(
            f"{place.name} is not a signature",
            advice="sign the file again: thawline protocol sign",
        )
    return Signature(bytes.fromhex(match.group(1)), bytes.fromhex(match.group(2)))


def refuse_changed(path: Path, raw: bytes) -> None:
    """
    Let a file pass that has no signature or whose signature fits its bytes.

    Raises:
        RuleError: A byte was changed after the file was signed, or the signature is unreadable.
    """
    found = signature_beside(path)
    if found is not None and not signed_by(found.public, raw, found.signature):
        raise RuleError(
            f"{path.name} was changed after it was signed by {found.fingerprint}",
            advice="get the signed file again, or check the change and sign it anew",
        )


def signature_finding(path: Path, raw: bytes, known: Iterable[bytes]) -> Finding | None:
    """Return what to say about a file's signature; None when it fits or there is none."""
    try:
        refuse_changed(path, raw)
        found = signature_beside(path)
    except RuleError as error:
        return Finding(Level.STOP, "signature", error.says)
    if found is None or found.public in set(known):
        return None
    says = f"signed by a key that is not known here: {found.fingerprint}"
    return Finding(Level.CHECK, "signature", says)


def known_keys(home: Path) -> list[bytes]:
    """Return the public keys of the sites of a home folder, and of the folder itself."""
    folders = [home / KEYS, *(home / SITES / name / KEYS for name in names(home))]
    return [site_public(folder) for folder in folders if (folder / "site.pub").exists()]


def signing_key(home: Path, site: str | None) -> SiteKey:
    """
    Return the key to sign with: the site's, or the home folder's own where there is no site.

    Raises:
        NotFoundError: There are several sites and none was named, or no such site.
        RecordError: The key cannot be read.
    """
    if site is None and not names(home):
        return _own_key(home / KEYS)
    return site_key(folder_of(home, site) / KEYS)


def _own_key(folder: Path) -> SiteKey:
    try:
        make_keys(folder)
    except OSError as error:
        raise RecordError(
            f"cannot make a key in {folder.parent.name!r}: {error.strerror}",
            advice="set THAWLINE_HOME to a folder you may write in",
        ) from error
    return site_key(folder)


def _signature_path(path: Path) -> Path:
    return path.with_name(f"{path.name}{_SUFFIX}")
