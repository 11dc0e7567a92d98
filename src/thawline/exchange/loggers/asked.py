"""What the person says about a logger file, where the file cannot tell by itself."""

from dataclasses import dataclass
from datetime import timezone
from zoneinfo import ZoneInfo

from thawline.exchange.dates import DateOrder
from thawline.exchange.loggers.layout import Unit


@dataclass(frozen=True, slots=True)
class Asked:
    """
    The options that were given; None, or empty, for each that was not.

    Args:
        unit: Of every temperature.
        zone: Where the times are local.
        zone_is: In whose words the zone is known: "asked", or "the site's".
        date_order: Of day, month and year.
        clock: "12" or "24".
        decimal: "comma" or "point".
        delimiter: Its name or the character.
        encoding: As in windows-1252.
        probe: Name or number of a column of temperatures, or a probe's name in the rows.
        time_column: Name or number of the column of times.
    """

    unit: Unit | None = None
    zone: ZoneInfo | timezone | None = None
    zone_is: str = "asked"
    date_order: DateOrder | None = None
    clock: str | None = None
    decimal: str | None = None
    delimiter: str | None = None
    encoding: str | None = None
    probe: str | None = None
    time_column: str | None = None


NOTHING = Asked()
