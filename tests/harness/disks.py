"""
Disks that go wrong: one that can lose its power, one that fails, one that is full.

They stand between SQLite and the real files (a VFS of SQLite). Only the ledger and its log
pass through them; the index of the log lives in shared memory and is made anew.
"""

# ruff: noqa: D102, N802 - SQLite names the methods, and says what each must do

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import apsw

SECTOR = 512


@dataclass(frozen=True)
class Written:
    """Bytes that were handed to the disk, at their place in a file."""

    file: str
    at: int
    bytes: bytes


@dataclass(frozen=True)
class Cut:
    """A file that was cut to a length."""

    file: str
    to: int


@dataclass(frozen=True)
class Synced:
    """A file whose bytes the disk promised to have kept."""

    file: str


@dataclass(frozen=True)
class Forgotten:
    """
    A file whose sync failed: what was not synced before is readable, and never kept.

    The kernel marks such pages clean, so that the next sync has nothing to write.
    """

    file: str


@dataclass(frozen=True)
class Answered:
    """An act whose receipt went to whoever asked."""

    number: int


Happening = Written | Cut | Synced | Forgotten | Answered


class RecordingDisk(apsw.VFS):
    """Writes down everything that is done to files, in order."""

    def __init__(self, name: str = "recording") -> None:
        self.name = name
        self.happened: list[Happening] = []
        self.next_sync_fails = False
        super().__init__(name, "")

    def xOpen(self, name, flags):
        return _RecordingFile(self, name, flags)


class _RecordingFile(apsw.VFSFile):
    def __init__(self, disk, name, flags):
        self._disk = disk
        self._happened = disk.happened
        self._file = Path(name.filename() if isinstance(name, apsw.URIFilename) else name).name
        super().__init__("", name, flags)

    def xWrite(self, data, at):
        super().xWrite(data, at)
        self._happened.append(Written(self._file, at, bytes(data)))

    def xTruncate(self, to):
        super().xTruncate(to)
        self._happened.append(Cut(self._file, to))

    def xSync(self, flags):
        if self._disk.next_sync_fails:
            self._disk.next_sync_fails = False
            self._happened.append(Forgotten(self._file))
            raise apsw.IOError
        super().xSync(flags)
        self._happened.append(Synced(self._file))


def after_the_cut(
    before: dict[str, bytes], happened: list[Happening], dice: Random
) -> dict[str, bytes]:
    """
    Return the files as they may be found after the power went: what was synced is there, and
    of the rest each sector may be there or not.
    """
    kept = {name: bytearray(held) for name, held in before.items()}
    waiting: dict[str, list[Written | Cut]] = {}
    for each in happened:
        if isinstance(each, Synced):
            for done in waiting.pop(each.file, []):
                _put(kept, done)
        elif isinstance(each, Forgotten):
            waiting.pop(each.file, None)
        elif not isinstance(each, Answered):
            waiting.setdefault(each.file, []).append(each)
    for unsynced in waiting.values():
        survives = dice.choice(_FATES)(dice)
        parts = (part for done in unsynced for part in _sectors(done))
        for part in filter(survives, parts):
            _put(kept, part)
    return {name: bytes(held) for name, held in kept.items()}


_FATES: list[Callable[[Random], Callable[[Happening], bool]]] = [
    lambda _: lambda _: False,
    lambda _: lambda _: True,
    lambda dice: lambda _: dice.random() < 0.5,
]


def _sectors(done: Written | Cut) -> list[Written | Cut]:
    if isinstance(done, Cut):
        return [done]
    edges = range(done.at - done.at % SECTOR, done.at + len(done.bytes), SECTOR)
    starts = [max(edge, done.at) for edge in edges]
    ends = [*starts[1:], done.at + len(done.bytes)]
    return [
        Written(done.file, start, done.bytes[start - done.at : end - done.at])
        for start, end in zip(starts, ends, strict=True)
    ]


def _put(kept: dict[str, bytearray], done: Written | Cut) -> None:
    held = kept.setdefault(done.file, bytearray())
    if isinstance(done, Cut):
        held[done.to :] = b""
        return
    end = done.at + len(done.bytes)
    if len(held) < end:
        held.extend(bytes(end - len(held)))
    held[done.at : end] = done.bytes


@dataclass
class Plan:
    """Which operation of a kind goes wrong, how, and whether all after it do too."""

    kind: str
    number: int
    error: type[apsw.Error] = apsw.IOError
    sticky: bool = False
    done: int = field(default=0)

    def strike(self, kind: str) -> None:
        if kind != self.kind:
            return
        self.done += 1
        if self.done == self.number or (self.sticky and self.done > self.number):
            raise self.error

    @property
    def struck(self) -> bool:
        return self.done >= self.number


class FailingDisk(apsw.VFS):
    """Fails as its plan says; without a plan it is a good disk."""

    def __init__(self, name: str = "failing") -> None:
        self.name = name
        self.plan: Plan | None = None
        super().__init__(name, "")

    def xOpen(self, name, flags):
        self.strike("open")
        return _FailingFile(self, name, flags)

    def strike(self, kind: str) -> None:
        if self.plan is not None:
            self.plan.strike(kind)


class _FailingFile(apsw.VFSFile):
    def __init__(self, disk, name, flags):
        self._disk = disk
        super().__init__("", name, flags)

    def xRead(self, amount, at):
        self._disk.strike("read")
        return super().xRead(amount, at)

    def xWrite(self, data, at):
        self._disk.strike("write")
        super().xWrite(data, at)

    def xTruncate(self, to):
        self._disk.strike("truncate")
        super().xTruncate(to)

    def xSync(self, flags):
        self._disk.strike("sync")
        super().xSync(flags)
