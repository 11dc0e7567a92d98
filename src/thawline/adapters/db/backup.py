"""
Backups of a site: made, opened again at once, and looked through.

A backup holds the ledger, the names, the readings of loggers with their files, the settings,
the protocols and every key but the one that opens it. It is sealed for the keys in
`keys/backup.pub` and `keys/recipients/`.
"""

import os
import re
import tarfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from gzip import BadGzipFile, GzipFile
from pathlib import Path
from shutil import copyfileobj, rmtree
from tempfile import TemporaryDirectory
from typing import BinaryIO
from uuid import UUID

import apsw
from msgspec.structs import replace

from thawline.adapters.db import connections, schema
from thawline.adapters.db.book import Book
from thawline.adapters.db.identity import IDENTITY
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.db.lock import BACKUP, held
from thawline.adapters.db.place import LOGGER_FILES, READINGS
from thawline.adapters.db.sealing import (
    Cover,
    SealedReader,
    SealedWriter,
    new_file_key,
    read_cover,
    wrapped,
)
from thawline.adapters.db.verify import Verified
from thawline.adapters.keys import backup_recipients, site_checker
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, to_ms
from thawline.ledger.entries import Head
from thawline.ledger.folding import Folds

KEYS, SETTINGS, PROTOCOLS, BACKUPS = "keys", "site.toml", "protocols", "backups"
ENDING = ".backup"
OPENS_IT = "backup.key"
_COMPRESSION = 1  # most of the gain for little of the time
_MEMBER = re.compile(
    r"(ledger|identity|readings)\.db|site\.toml|(protocols|keys|logger-files)/[\w.+-]+",
    re.ASCII,
)
_HALF_MADE = "half-made-"
_HALF_WRITTEN = ".part"
_WAIT_S = connections.WAIT_MS / 1000
_OWNER_ONLY = 0o600


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that was opened and looked through; `verified` says what was found in it."""

    path: Path
    cover: Cover
    size_bytes: int
    verified: Verified

    @property
    def head(self) -> Head:
        """Return the newest entry that it holds."""
        return head_of(self.cover)

    @property
    def site(self) -> UUID:
        """Return the site whose record it holds."""
        return UUID(self.cover.site)


def make(folder: Path, folds: Folds, at: Instant, secret: bytes) -> Backup:
    """
    Make a backup in the site's folder, then open it again and look through all of it.

    Raises:
        RecordError: What was written is not what was meant; it is not kept.
    """
    into = folder / BACKUPS
    into.mkdir(exist_ok=True)
    with held(folder, _WAIT_S, BACKUP):
        sweep(into)
        return _made(folder, folds, at, secret)


def _made(folder: Path, folds: Folds, at: Instant, secret: bytes) -> Backup:
    into = folder / BACKUPS
    with _scratch(into) as scratch:
        cover = _copied(folder, scratch, at)
        part = scratch / f"{folder.name}-{at:%Y%m%dT%H%M%S}Z-{cover.seq:06}{ENDING}"
        _write(part, folder, scratch, cover)
        backup = check(part, folds, secret)
        if backup.verified.findings:
            raise RecordError(
                f"no backup was kept: {backup.verified.findings[0].says}",
                advice="thawline journal verify",
            )
        kept = part.rename(into / part.name)
        _sync(into)
    return Backup(kept, backup.cover, backup.size_bytes, backup.verified)


def check(path: Path, folds: Folds, secret: bytes) -> Backup:
    """
    Open a backup and look through all that it holds.

    Raises:
        RecordError: It is no backup, is damaged, or was made for another key.
    """
    with unpacked(path, secret, path.parent) as (scratch, cover):
        ledger = DbLedger(scratch, folds)
        verified = ledger.verify(site_checker(scratch / KEYS))
        ledger.close()
    if not verified.findings and verified.head != head_of(cover):
        raise RecordError("the backup does not hold what its front page says")
    return Backup(path, cover, path.stat().st_size, verified)


def cover_of(path: Path) -> Cover:
    """Return what stands readable in front of a backup, without opening it."""
    with _source(path) as source:
        return read_cover(source)[0]


def head_of(cover: Cover) -> Head:
    """Return the newest entry of the ledger that was backed up."""
    return Head(cover.epoch, cover.seq, bytes.fromhex(cover.hash))


@contextmanager
def unpacked(path: Path, secret: bytes, near: Path) -> Iterator[tuple[Path, Cover]]:
    """Unpack a backup into a folder that is gone again after the block."""
    with _scratch(near) as scratch, _source(path) as source:
        reader = SealedReader(source, secret)
        try:
            with (
                GzipFile(fileobj=reader, mode="rb") as squeezed,
                tarfile.open(fileobj=squeezed, mode="r|") as archive,
            ):
                for member in archive:
                    _unpack(archive, member, scratch)
        except (tarfile.TarError, EOFError, BadGzipFile, zlib.error) as error:
            raise RecordError(f"the backup is damaged: {error}") from error
        reader.finish()
        yield scratch, reader.cover


def sweep(folder: Path) -> None:
    """Throw away what a killed process left half made; only under the lock of backups."""
    for left in folder.glob(f"{_HALF_MADE}*"):
        rmtree(left)


@contextmanager
def _scratch(near: Path) -> Iterator[Path]:
    with TemporaryDirectory(dir=near, prefix=_HALF_MADE) as scratch:
        yield Path(scratch)


def _copied(folder: Path, scratch: Path, at: Instant) -> Cover:
    """
    Copy the databases; return the cover without its recipients.

    The ledger comes before the readings: those that its entries vouch for are there already.
    """
    for name in (IDENTITY, schema.LEDGER, READINGS):
        if name == READINGS and not (folder / name).exists():
            continue  # no logger's file was ever read here
        source = connections.reader(folder / name)
        copy = apsw.Connection(str(scratch / name))
        with copy.backup("main", source, "main") as copying:
            copying.step(-1)
        copy.close()
        source.close()
    copied = connections.reader(scratch / schema.LEDGER)
    book = Book(copied)
    head, site = book.head(), book.site
    copied.close()
    return Cover(
        at_ms=to_ms(at),
        epoch=head.epoch,
        hash=head.hash.hex(),
        name=folder.name,
        recipients=(),
        seq=head.seq,
        site=str(site),
    )


def _write(part: Path, folder: Path, scratch: Path, cover: Cover) -> None:
    file_key = new_file_key()
    sealed_for = wrapped(file_key, backup_recipients(folder / KEYS))
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, _OWNER_ONLY)
    with os.fdopen(handle, "wb") as out:
        with (
            SealedWriter(out, replace(cover, recipients=sealed_for), file_key) as sealed,
            GzipFile("", "wb", _COMPRESSION, sealed, mtime=0) as squeezed,
            tarfile.open(fileobj=squeezed, mode="w|") as archive,
        ):
            for path, name in _members(folder, scratch):
                archive.add(path, name, recursive=False)
        out.flush()
        os.fsync(out.fileno())


def _members(folder: Path, scratch: Path) -> Iterator[tuple[Path, str]]:
    for name in (schema.LEDGER, IDENTITY, READINGS):
        if (scratch / name).exists():
            yield scratch / name, name
    yield folder / SETTINGS, SETTINGS
    for part in (PROTOCOLS, KEYS, LOGGER_FILES):
        for path in sorted((folder / part).glob("*")):
            if path.is_file() and path.name != OPENS_IT and path.suffix != _HALF_WRITTEN:
                yield path, f"{part}/{path.name}"


def _unpack(archive: tarfile.TarFile, member: tarfile.TarInfo, into: Path) -> None:
    if not _MEMBER.fullmatch(member.name) or not member.isfile():
        raise RecordError(f"the backup holds what does not belong in it: {member.name!r}")
    path = into / member.name
    path.parent.mkdir(mode=0o700, exist_ok=True)
    held = archive.extractfile(member)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ONLY)
    with os.fdopen(handle, "wb") as out:
        copyfileobj(held, out)  # type: ignore[arg-type]  # a plain file always has contents
        out.flush()
        os.fsync(out.fileno())


def _source(path: Path) -> BinaryIO:
    try:
        return path.open("rb")
    except OSError as error:
        raise NotFoundError(
            f"no backup {path.name!r}: {error.strerror}", advice="thawline backup make"
        ) from error


def _sync(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)
    os.close(handle)
