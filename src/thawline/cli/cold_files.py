"""What commands about a logger's file share: how it is read, and against which band."""

from dataclasses import dataclass
from datetime import timedelta, timezone
from decimal import Decimal
from zoneinfo import ZoneInfo

from cyclopts import Parameter

from thawline.adapters import sites
from thawline.adapters.logger_files import LoggerFile, read_logger
from thawline.app.looked_at import question_about
from thawline.base.errors import UnsaidError
from thawline.base.instants import Instant, from_ms, zone_named
from thawline.cli.options import Celsius
from thawline.cli.reading import rules_for
from thawline.cli.surroundings import home
from thawline.exchange.loggers.asked import Asked
from thawline.exchange.loggers.layout import Unit
from thawline.rules.reading import RuleFile
from thawline.store.time_out import Question

_MS = timedelta(milliseconds=1)


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Against:
    """
    How a file is read, and what it is held against.

    Parameters
    ----------
    unit
        C or F: the unit of the file, where it does not say.
    zone
        Whose local time the file has, as in America/Chicago; the site's where there is one.
    probe
        Which column of temperatures, where there are several.
    band
        fridge, frozen, another band of the protocol, or LO..HI in degrees Celsius.
    accuracy_c
        How far the logger may be off, either way; left out, as the protocol says.
    protocol
        A protocol id or file; left out, the published guidance at the last reading.
    """

    unit: str | None = None
    zone: str | None = None
    probe: str | None = None
    band: str | None = None
    accuracy_c: Celsius = None
    protocol: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """A file that was read, the rules, what it is asked, and whose clock a picture has."""

    file: LoggerFile
    rules: RuleFile
    question: Question
    zone: ZoneInfo

    @property
    def interval_ms(self) -> int | None:
        """The interval that the file's header states; None where it says nothing."""
        stated = self.file.layout.stated_interval
        return None if stated is None else stated // _MS

    @property
    def last(self) -> Instant:
        """When the last reading was taken."""
        return from_ms(int(self.file.record.readings.at_ms.max()))


def held_against(path: str, against: Against) -> Held:
    """
    Return a file that was read, and the question it is asked.

    Raises:
        UnsaidError: No band was given: a number alone is neither in nor out.
        ExchangeError: The file cannot be read, or something about it cannot be told.
    """
    if against.band is None:
        raise UnsaidError(
            "which band is it held against?",
            advice="add --band fridge, --band frozen or --band 2..8",
        )
    zone, whose = _zone(against.zone)
    unit = None if against.unit is None else _unit(against.unit)
    file = read_logger(path, Asked(unit=unit, zone=zone, zone_is=whose, probe=against.probe))
    last = from_ms(int(file.record.readings.at_ms.max()))
    rules = rules_for(against.protocol, last)
    question = question_about(rules.protocol, against.band, against.accuracy_c)
    return Held(file, rules, question, zone or axis_zone(file.layout.time.zone))


def _zone(named: str | None) -> tuple[ZoneInfo | None, str]:
    """Return the zone that was asked for, else that of the only site there is."""
    if named is not None:
        return zone_named(named), "asked"
    folder = home() / sites.SITES
    known = sorted(path.parent for path in folder.glob(f"*/{sites.SETTINGS}"))
    if len(known) == 1:
        return zone_named(sites.read_settings(known[0]).zone), "the site's"
    return None, "asked"


def _unit(text: str) -> Unit:
    try:
        return Unit(text.upper())
    except ValueError as error:
        raise UnsaidError(f"not a unit: {text!r}", advice="--unit C or --unit F") from error


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
