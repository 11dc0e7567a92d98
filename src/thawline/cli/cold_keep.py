"""`thawline cold keep`: a logger's file on a unit's record."""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.logger_options import LAYOUT, LoggerLayout, asked_of
from thawline.cli.options import Acting, Readable
from thawline.cli.text import counted

if TYPE_CHECKING:
    from thawline.exchange.loggers.joined import LoggerFile

NOBODY = Acting()


def keep(
    storage: str, file: Readable, *, layout: LoggerLayout = LAYOUT, acting: Acting = NOBODY
) -> Answer:
    """
    Record a logger's file for a storage unit: its readings, and its bytes as they are.

    thawline cold keep fridge-1 fridge-2.csv --unit C --by "Rowan Thistle"
    thawline cold keep freezer-1 monday.txt --date-order dmy --by Rowan --dry-run

    A file on record already changes nothing, and a reading counts once. What it means for the
    vials inside: thawline cold exposure.

    Parameters
    ----------
    storage
        The storage unit, as thawline cold units names it.
    file
        The logger's file.
    """
    from thawline.adapters.logger_files import read_logger  # noqa: PLC0415  NumPy as needed

    site = site_named(acting.site)
    asked = asked_of(layout, site.zone)
    return kept(site, acting, storage, read_logger(file, asked, sheet=layout.sheet))


def kept(site: Site, acting: Acting, storage: str, read: "LoggerFile") -> Answer:
    """Record what was read of a file for a unit, and say what of it could not be."""
    from thawline.adapters.kept_files import file_as_read  # noqa: PLC0415  as needed
    from thawline.app.cold import record_file  # noqa: PLC0415  as needed
    from thawline.ledger.events import LoggerFileRead  # noqa: PLC0415  as needed

    record = read.record
    told = file_as_read(read.name, ", ".join(read.layout.read_as), record.name)
    outcome = record_file(site, doing(site, acting), storage, record.readings, told)
    event = outcome.event
    assert isinstance(event, LoggerFileRead)  # noqa: S101  the only event it records
    says = (
        f"{counted(event.readings, 'reading')} of {event.name} for {storage}, {event.new:,} new"
    )
    more = {
        "without_time": len(record.unplaced_mc),
        "lines_not_read": sum(record.counts.values()),
    }
    answer = recorded(outcome, site, f"{says}\nNext: thawline cold exposure {storage}", more)
    return replace(answer, alerts=(*answer.alerts, *_left_out(event.name, more)))


def _left_out(name: str, left: dict[str, int]) -> Iterator[Finding]:
    """Yield what of a file is not on the record, so that nobody takes it for whole."""
    for count, what in (
        (left["without_time"], "temperature without a known time"),
        (left["lines_not_read"], "line that gave no reading"),
    ):
        if count:
            says = (
                f"{counted(count, what, what.replace(' ', 's ', 1))} of {name} not on the "
                "record; see thawline cold read, and do not take the record for whole"
            )
            yield Finding(Level.ACT, "not-on-record", says)
