"""
What is recorded of a unit's temperature: what people read, and the files that loggers wrote.

The readings of a file are on the disk before the entry that vouches for them. A hand reading
is one moment, with the least and most since the display was last reset; nothing between two
of them is ever made up.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID

from thawline.app.acts import Doing, Outcome, act
from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.app.units import band_of, unit_of
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, to_ms, written
from thawline.ledger.entries import Decision, Kind, Plain, Receipt, View
from thawline.ledger.events import LoggerFileRead
from thawline.rules.protocol import Band
from thawline.store.fold import LOGGER_FILE, FileState, file_key
from thawline.store.pieces import between, count_new, digest_of, each_once, joined, packed
from thawline.store.readings import Readings
from thawline.store.units import StorageUnit

CAUTION = "held, do not use, do not discard; keep cold and apart; call"


@dataclass(frozen=True, slots=True)
class FileAsRead:
    """
    A logger's file as it was read.

    Args:
        name: Its name, without folders.
        sha256: Of its bytes.
        blocks: Gives its bytes once more, to be kept.
        read_as: Order of the date, unit, zone and interval, in words.
        probe: Which of several probes; empty where there is one.
    """

    name: str
    sha256: str
    blocks: Callable[[], Iterable[bytes]]
    read_as: str
    probe: str = ""


@dataclass(frozen=True, slots=True)
class Sourced:
    """Readings of a unit, and the file that they came with."""

    file: FileState
    readings: Readings


def record_file(
    site: Site, doing: Doing, unit: str, found: Readings, file: FileAsRead
) -> Outcome:
    """
    Record a logger's file for a unit; one that is on record already changes nothing.

    Raises:
        NotFoundError: The site has no such unit.
        RecordError: The file is empty, tells of the future, changed while it was read, or is
            on record as something else.
    """
    of_unit = unit_of(site, unit)
    kept = each_once(found)
    _check_times(site, kept, file, doing.recorded_at)
    digest = digest_of(packed(kept))
    with site.ledger.view() as view:
        before = view.one(LOGGER_FILE, file_key(unit, file.probe, digest))
        if before is not None:
            return _again(view, before)
        _check_not_otherwise(view, unit, file)
        known = joined(each.readings for each in readings_of(site, view, unit, file.probe))
    event = _file_event(unit, kept, file, digest, count_new(kept, known))
    if not doing.dry_run:
        site.readings.keep(kept, file.sha256, file.blocks())

    def decide(view: View) -> Decision:
        rules = in_force(site, view, doing.at)
        band = band_of(of_unit, rules.protocol)
        found = [*_outside(of_unit, band, kept), *_of_other_units(view, unit, file)]
        return Decision(event, tuple(found), rules.ref)

    command: dict[str, Plain] = {
        "command": "cold read",
        "unit": unit,
        "probe": file.probe,
        "sha256": file.sha256,
        "readings_sha256": digest,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def readings_of(
    site: Site,
    view: View,
    unit: str,
    probe: str | None = None,
    since: Instant | None = None,
    until: Instant | None = None,
) -> Iterator[Sourced]:
    """Yield the readings of a unit that entries vouch for, with their files, as recorded."""
    for file in files_of(view, unit):
        first, last = from_ms(file.first_ms), from_ms(file.last_ms)
        outside = (since and last < since) or (until and first > until)
        if not outside and probe in (None, file.probe):
            found = site.readings.get(file.readings_sha256)
            lo = file.first_ms if since is None else to_ms(since)
            hi = file.last_ms if until is None else to_ms(until)
            yield Sourced(file, between(found, lo, hi))


def files_of(view: View, unit: str) -> list[FileState]:
    """Return the logger files that were read into a unit's record, oldest entry first."""
    found = [file for _, file in view.all(LOGGER_FILE) if file.unit == unit]
    return sorted(found, key=lambda file: file.seq)


def outside_finding(unit: StorageUnit, band: Band, says: str) -> Finding:
    """Return the stop of an excursion, with what to do; it never says what may be used."""
    text = f"{unit.name}: {says}: an excursion. What was inside is {CAUTION}"
    return Finding(Level.STOP, "excursion", text, band.item)


def _file_event(
    unit: str, kept: Readings, file: FileAsRead, digest: str, new: int
) -> LoggerFileRead:
    return LoggerFileRead(
        unit=unit,
        probe=file.probe,
        name=file.name,
        sha256=file.sha256,
        readings_sha256=digest,
        readings=len(kept),
        new=new,
        first_ms=int(kept.at_ms[0]),
        last_ms=int(kept.at_ms[-1]),
        lowest_mc=int(kept.temp_mc.min()),
        highest_mc=int(kept.temp_mc.max()),
        read_as=file.read_as,
    )


def _check_times(site: Site, kept: Readings, file: FileAsRead, now: Instant) -> None:
    if len(kept) == 0:
        raise RecordError(f"{file.name} holds no readings", advice="look into the file")
    last = from_ms(int(kept.at_ms[-1]))
    if last > now:
        raise RecordError(
            f"{file.name}: its last reading is {written(last, site.zone)}, which has not come",
            advice="check the order of the date, the zone and the logger's clock",
        )


def _again(view: View, before: FileState) -> Outcome:
    """Return what was recorded when the file was read first."""
    entry = view.entry(UUID(before.entry))
    assert entry is not None  # noqa: S101  its state was folded from it
    receipt = Receipt(
        id=entry.id,
        seq=entry.seq,
        epoch=entry.epoch,
        hash=entry.hash.hex(),
        findings=entry.findings,
        event=entry.event,
        again=True,
    )
    return Outcome(entry.event, entry.findings, entry.protocol, receipt)


def _check_not_otherwise(view: View, unit: str, file: FileAsRead) -> None:
    """Raise when the same bytes are on record for the unit, read in another way."""
    for other in files_of(view, unit):
        if (other.sha256, other.probe) == (file.sha256, file.probe):
            raise RecordError(
                f"{file.name} is on record for {unit} already, read as {other.read_as}",
                advice=f"if that was wrong: thawline journal undo {other.seq}, then read it",
            )


def _of_other_units(view: View, unit: str, file: FileAsRead) -> Iterator[Finding]:
    """Yield a finding when the same bytes and probe are on record for another unit."""
    for _, other in view.all(LOGGER_FILE):
        if (other.sha256, other.probe) == (file.sha256, file.probe) and other.unit != unit:
            says = f"{file.name} is on record for {other.unit} too, entry {other.seq}: which?"
            yield Finding(Level.ACT, "file-of-another-unit", says)


def _outside(unit: StorageUnit, band: Band, kept: Readings) -> Iterator[Finding]:
    low_mc, high_mc = float(1000 * band.low_c), float(1000 * band.high_c)
    out = int(((kept.temp_mc < low_mc) | (kept.temp_mc > high_mc)).sum())
    if out:
        of = f"{out:,} of {len(kept):,} readings outside {band.low_c} to {band.high_c} °C"
        yield outside_finding(unit, band, of)
