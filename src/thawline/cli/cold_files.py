"""What commands about a record share: a file or a unit, how it is read, against which band."""

from dataclasses import dataclass
from datetime import timedelta, tzinfo
from decimal import Decimal
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.adapters import sites
from thawline.adapters.logger_files import read_logger
from thawline.app.followed_readings import FollowedReadings
from thawline.app.in_force import in_force
from thawline.app.looked_at import question_about
from thawline.app.units import unit_of
from thawline.base.errors import NotFoundError, RecordError, UnsaidError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, written, zone_named
from thawline.cli.asking import site_named
from thawline.cli.logger_options import FileLayout, HeldTo, asked_of
from thawline.cli.reading import rules_for
from thawline.cli.surroundings import home
from thawline.cli.text import counted
from thawline.rules.protocol import ProtocolRef
from thawline.store.fold import UNIT, HoldRow, UnitState
from thawline.store.readings import Readings, readings
from thawline.store.tidy import tidied
from thawline.store.time_out import Question

_MS = timedelta(milliseconds=1)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Against(HeldTo):
    """
    What is looked at, and what it is held against.

    Parameters
    ----------
    unit
        A storage unit instead of a file: all its readings that are known here.
    """

    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Held:
    """A record with the question it is asked, the rules, and whose clock a picture has."""

    record: Readings
    question: Question
    ref: ProtocolRef
    zone: ZoneInfo
    title: str
    interval_ms: int | None = None
    demo: bool = False
    by_hand: Readings | None = None
    says: str = ""  # what was held because of the unit
    left_out: tuple[int, int] = (0, 0)  # lines without a reading; of them, with a temperature

    @property
    def alerts(self) -> tuple[Finding, ...]:
        """What of the file is not in the record, so that nobody takes it for whole."""
        lines, warm = self.left_out
        if not lines:
            return ()
        of = f", {counted(warm, 'temperature')} without a time among them" if warm else ""
        says = f"{counted(lines, 'line')} gave no reading{of}: look, thawline cold read"
        return (Finding(Level.ACT, "not-read", says),)

    @property
    def last(self) -> Instant:
        """When the last reading was taken."""
        return from_ms(int(self.record.at_ms.max()))


def held_against(file: str | None, against: Against, layout: FileLayout) -> Held:
    """
    Return a record that was read from a file, or a unit's, and the question it is asked.

    Raises:
        UnsaidError: Neither or both were given, or a file without a band.
        ExchangeError: The file cannot be read, or something about it cannot be told.
        NotFoundError: There is no such unit, or nothing was read of it yet.
    """
    if (file is None) == (against.unit is None):
        raise UnsaidError(
            "a file or a unit?",
            advice="give a FILE, or --unit as in freezer-1; a file's °C or °F are --degrees",
        )
    return _of_unit(against) if file is None else _of_file(file, against, layout)


def _of_file(path: str, against: Against, layout: FileLayout) -> Held:
    if against.band is None:
        raise UnsaidError(
            "which band is it held against?",
            advice="add --band fridge, --band frozen or --band 2..8",
        )
    asked = asked_of(layout, _site_zone(against.site))
    file = read_logger(path, asked, sheet=layout.sheet)
    seen = file.record.readings
    if not len(seen):
        raise RecordError(
            f"{path}: no temperature with a time that is known", advice="thawline cold read"
        )
    rules = rules_for(against.protocol, from_ms(int(seen.at_ms.max())))
    name = "standard input" if path == "-" else path.rpartition("/")[2]
    return Held(
        record=seen,
        question=question_about(rules.protocol, against.band, against.accuracy_c),
        ref=rules.ref,
        zone=axis_zone(asked.zone or file.layout.time.zone),
        title=", ".join(part for part in (name, file.record.name) if part),
        left_out=(file.record.counts.total(), len(file.record.unplaced_mc)),
        interval_ms=_interval_ms(seen, file.layout.stated_interval),
    )


def _interval_ms(seen: Readings, stated: timedelta | None) -> int | None:
    """Return what gaps are measured by where a file states it: never longer than usual."""
    if stated is None:
        return None
    usual = tidied(seen).interval_ms
    return stated // _MS if usual is None else min(stated // _MS, usual)


def _of_unit(against: Against) -> Held:
    site = site_named(against.site)
    unit = unit_of(site, against.unit or "")
    seen = FollowedReadings(site, "").of(unit.name)
    if not len(seen):
        raise NotFoundError(
            f"no reading of {unit.name} is known here",
            advice=f"thawline cold follow FOLDER --unit {unit.name}",
        )
    with site.ledger.view() as view:
        rules = in_force(site, view, from_ms(int(seen.at_ms.max())))
        told = view.one(UNIT, unit.name) or UnitState()
    band, off = against.band or unit.band, against.accuracy_c
    return Held(
        record=seen,
        question=question_about(rules.protocol, band, unit.accuracy_c if off is None else off),
        ref=rules.ref,
        zone=site.zone,
        title=f"{unit.title or unit.name}, {site.name}",
        demo=site.demo,
        by_hand=readings([each.hi_ms for each in told.hand], [r.temp_mc for r in told.hand]),
        says=" ".join(_held(each, site.zone) for each in told.holds),
    )


def _held(hold: HoldRow, zone: ZoneInfo) -> str:
    """Return what was held for the unit at one time, in a sentence."""
    counts = (
        *((len(hold.vials), "vial"), (len(hold.syringes), "syringe")),
        (len(hold.cartons), "carton"),
    )
    what = ", ".join(counted(count, one) for count, one in counts if count)
    when = written(from_ms(hold.at_ms), zone)[: len("2026-02-05T03:10")].replace("T", " ")
    return f"Held on {when}: {what or 'nothing'} ({hold.why}). Only a release ends a hold."


def _site_zone(site: str | None) -> ZoneInfo | None:
    """Return the zone of the site, where it is clear which."""
    folder = home() / sites.SITES
    known = sorted(path.parent for path in folder.glob(f"{site or '*'}/{sites.SETTINGS}"))
    return zone_named(sites.read_settings(known[0]).zone) if len(known) == 1 else None


def axis_zone(stated: tzinfo | None) -> ZoneInfo:
    """Return a zone for the clock of a picture: the file's own; UTC where it has none."""
    if isinstance(stated, ZoneInfo):
        return stated
    offset = None if stated is None else stated.utcoffset(None)
    hours = Decimal(0) if offset is None else Decimal(str(offset / timedelta(hours=1)))
    if hours % 1:
        return zone_named("UTC")
    # Etc/GMT-2 is two hours ahead of UTC: the sign is the zone database's own.
    return zone_named(f"Etc/GMT{-hours:+.0f}" if hours else "UTC")
