"""
Looks at this machine and at a site's folder: what `thawline doctor` reports.

Each look is one line: what was looked at, what was seen, and findings where something must be
answered. Nothing is changed.
"""

import platform
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from shutil import disk_usage

import apsw

from thawline.adapters import sites
from thawline.adapters.db.connections import has_log_fault
from thawline.adapters.db.gate import gate
from thawline.adapters.db.ledger import DbLedger
from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.keys import open_to_others, signed_by, site_public
from thawline.adapters.signing import known_keys, signature_beside, signature_finding
from thawline.adapters.wiring import FOLDS
from thawline.base.errors import ThawlineError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, written, zone_named
from thawline.ledger.entries import View
from thawline.ledger.site import KEY, SITE
from thawline.store.fold import LOGGER_FILE, FileState

_GIB = 1 << 30


@dataclass(frozen=True, slots=True)
class Look:
    """One thing that was looked at, what was seen, and what must be answered."""

    what: str
    seen: str
    findings: tuple[Finding, ...] = ()


def look_at_machine(home: Path, now: Instant) -> Iterator[Look]:
    """Yield what is seen of the machine: Python, SQLite, clock and disk."""
    yield Look("python", platform.python_version())
    version = apsw.sqlite_lib_version()
    fault: tuple[Finding, ...] = ()
    if has_log_fault(version):
        says = f"SQLite {version} can damage a ledger that two programs write"
        fault = (Finding(Level.STOP, "sqlite-version", says),)
    yield Look("sqlite", version, fault)
    yield Look("clock", f"{written(now)} by this machine")
    here = next(path for path in (home, *home.resolve().parents) if path.exists())
    yield Look("disk", f"{disk_usage(here).free / _GIB:.1f} GiB free")


def look_at_site(home: Path, name: str, now: Instant) -> Iterator[Look]:
    """
    Yield what is seen of a site: zone, keys, protocols with their signatures, ledger.

    What cannot be read is a finding, so that one damaged site hides no other.

    Raises:
        NotFoundError: There is no such site.
    """
    folder = sites.folder_of(home, name)
    try:
        yield from _look_into(home, folder, now)
    except ThawlineError as error:
        found = Finding(Level.STOP, "site-not-readable", error.says)
        yield Look("site", "cannot be read any further", (found,))


def _look_into(home: Path, folder: Path, now: Instant) -> Iterator[Look]:
    settings = sites.read_settings(folder)
    zone = zone_named(settings.zone)
    yield Look("zone", f"{zone.key}, {written(now, zone)} there")
    yield Look("keys", "readable by their owner only", tuple(_keys(folder)))
    public = site_public(folder / sites.KEYS)
    found = gate(folder, FOLDS, now, lambda text, sig: signed_by(public, text, sig))
    try:
        with DbLedger(folder, FOLDS).view() as view:
            yield from _protocols(home, folder, view)
            head = view.head
            files = [file for _, file in view.all(LOGGER_FILE)]
    except ThawlineError as error:
        unread = Finding(Level.STOP, "ledger-unreadable", error.says)
        yield Look("ledger", "cannot be read", found or (unread,))
        return
    verified = "not in order" if found else "verified from the first entry"
    seen = f"{head.seq:,} entries, head {head.hash.hex()[:16]}, {verified}"
    yield Look("ledger", seen, found)
    if files:
        yield _readings(folder, files)


def _readings(folder: Path, files: Sequence[FileState]) -> Look:
    """Return whether every logger file and its readings are as their entries vouch for them."""
    from thawline.adapters.db.readings import DbReadings  # noqa: PLC0415  NumPy as needed

    store = DbReadings(folder)
    found = [
        Finding(
            Level.STOP, "readings", f"entry {file.seq}, {file.name} of {file.unit}: {fault}"
        )
        for file in files
        for fault in store.faults(file.readings_sha256, file.sha256)
    ]
    count = sum(file.readings for file in files)
    seen = "not in order" if found else "as vouched for"
    return Look("readings", f"{len(files):,} files, {count:,} readings, {seen}", tuple(found))


def _keys(folder: Path) -> Iterator[Finding]:
    for name in open_to_others(folder / sites.KEYS):
        says = f"key {name} can be read by other users of this machine: chmod 600"
        yield Finding(Level.ACT, "key-open", says)


def _protocols(home: Path, folder: Path, view: View) -> Iterator[Look]:
    state = view.one(SITE, KEY)
    rules = KeptRules(folder / sites.PROTOCOLS)
    if state is None or not state.adopted:
        says = "no protocol is adopted: thawline protocol adopt FILE"
        yield Look("protocol", "none", (Finding(Level.ACT, "no-protocol", says),))
        return
    for adopted in state.adopted:
        ref = adopted.ref
        named = f"{ref.id} version {ref.version}"
        try:
            start = rules.protocol(ref).protocol.effective_from.date().isoformat()
            path = rules.path_of(ref)
            found = signature_finding(path, path.read_bytes(), known_keys(home))
            signed = signature_beside(path)
        except ThawlineError as error:
            yield Look("protocol", named, (Finding(Level.STOP, "protocol", error.says),))
            continue
        by = f"signed by {signed.fingerprint}" if signed else "not signed"
        yield Look("protocol", f"{named} from {start}, {by}", (found,) if found else ())
