"""Records a logger's file for a unit, once it was read: what `cold read --unit-name` does."""

from thawline.adapters.kept_files import file_as_read
from thawline.app.acts import Doing
from thawline.app.cold import record_file
from thawline.app.ports import Site
from thawline.cli.acting import recorded
from thawline.cli.answers import Answer
from thawline.cli.text import counted
from thawline.ledger.events import LoggerFileRead
from thawline.store.readings import Readings


def keep_file(  # noqa: PLR0913, PLR0917  what was read, by whom, for which unit
    site: Site,
    doing: Doing,
    unit: str,
    path: str,
    found: Readings,
    read_as: str,
    probe: str = "",
) -> Answer:
    """Record the readings of a file for a unit; a file on record already changes nothing."""
    outcome = record_file(site, doing, unit, found, file_as_read(path, read_as, probe))
    event = outcome.event
    assert isinstance(event, LoggerFileRead)  # noqa: S101  the only event it records
    says = f"{counted(event.readings, 'reading')} of {event.name} for {unit}, {event.new:,} new"
    return recorded(outcome, site, says)
