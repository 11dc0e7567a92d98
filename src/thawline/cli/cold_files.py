"""What commands about a record share: a file or a unit, how it is read, against which band."""

from dataclasses import dataclass
from datetime import timedelta, timezone
from decimal import Decimal
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.adapters import sites
from thawline.adapters.logger_files import read_logger
from thawline.app.followed_readings import FollowedReadings
from thawline.app.looked_at import question_about
from thawline.app.standings import in_force
from thawline.app.units import unit_of
from thawline.base.errors import NotFoundError, UnsaidError
from thawline.base.instants import Instant, from_ms, written, zone_named
from thawline.cli.acting import site_named
from thawline.cli.options import Celsius
from thawline.cli.reading import rules_for
from thawline.cli.surroundings import home
from thawline.cli.text import counted
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.layout import Unit
from thawline.rules.protocol import ProtocolRef
from thawline.store.fold import UNIT, HoldRow, UnitState
from thawline.store.readings import Readings, readings
from thawline.store.time_out import Question

_MS = timedelta(milliseconds=1)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Against:
    """
    What is looked at, and what it is held against.

    Parameters
    ----------
    unit
        A storage unit instead of a file: all its readings that are known here.
    site
        The site's name; not needed where there is only one.
    degrees
        C or F: the unit of a file's temperatures, where it does not say.
    zone
        Whose local time a file has, as in America/Chicago; the site's where there is one.
    probe
        Which column of temperatures, where a file has several.
    band
        fridge, frozen, another band of the protocol, or LO..HI in degrees Celsius.
    accuracy_c
        How far the logger may be off, either way; left out, as the protocol says.
    protocol
        A protocol id or file; left out, a unit's own, or the published guidance at the time.
    """

    unit: str | None = None
    site: str | None = None
    degrees: Unit | None = None
    zone: str | None = None
    probe: str | None = None
    band: str | None = None
    accuracy_c: Celsius = None
    protocol: str | None = None


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

    @property
    def last(self) -> Instant:
        """When the last reading was taken."""
        return from_ms(int(self.record.at_ms.max()))


def held_against(file: str | None, against: Against) -> Held:
    """
    Return a record that was read from a file, or a unit's, and the question it is asked.

    Raises:
        UnsaidError: Neither or both were given, or a file without a band.
        ExchangeError: The file cannot be read, or something about it cannot be told.
        NotFoundError: There is no such unit, or nothing was read of it yet.
    """
    if (file is None) == (against.unit is None):
        raise UnsaidError("a file or a unit?", advice="give a FILE, or --unit as in freezer-1")
    return _of_unit(against) if file is None else _of_file(file, against)


def _of_file(path: str, against: Against) -> Held:
    if against.band is None:
        raise UnsaidError(
            "which band is it held against?",
            advice="add --band fridge, --band frozen or --band 2..8",
        )
    zone, whose = _zone(against)
    asked = Asked(unit=against.degrees, zone=zone, zone_is=whose, probe=against.probe)
    file = read_logger(path, asked)
    seen, stated = file.record.readings, file.layout.stated_interval
    rules = rules_for(against.protocol, from_ms(int(seen.at_ms.max())))
    name = "standard input" if path == "-" else path.rpartition("/")[2]
    return Held(
        record=seen,
        question=question_about(rules.protocol, against.band, against.accuracy_c),
        ref=rules.ref,
        zone=zone or axis_zone(file.layout.time.zone),
        title=", ".join(part for part in (name, file.record.name) if part),
        interval_ms=None if stated is None else stated // _MS,
    )


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


def _zone(against: Against) -> tuple[ZoneInfo | None, str]:
    """Return the zone that was asked for, else that of the site, where it is clear which."""
    if against.zone is not None:
        return zone_named(against.zone), "asked"
    folder = home() / sites.SITES
    named = against.site or "*"
    known = sorted(path.parent for path in folder.glob(f"{named}/{sites.SETTINGS}"))
    if len(known) == 1:
        return zone_named(sites.read_settings(known[0]).zone), "the site's"
    return None, "asked"


def axis_zone(stated: ZoneInfo | timezone | None) -> ZoneInfo:
    """Return a zone for the clock of a picture: the file's own; UTC where it has none."""
    if isinstance(stated, ZoneInfo):
        return stated
    hours = Decimal(0) if stated is None else _hours(stated)
    if hours % 1:
        return zone_named("UTC")
    # Etc/GMT-2 is two hours ahead of UTC: the sign is the zone database's own.
    return zone_named(f"Etc/GMT{-hours:+.0f}" if hours else "UTC")


def _hours(offset: timezone) -> Decimal:
    return Decimal(str(offset.utcoffset(None) / timedelta(hours=1)))
