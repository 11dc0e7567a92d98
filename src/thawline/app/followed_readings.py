"""
The readings of a unit as the record holds them, and how a followed file's new rows join it.

A file that grows every few minutes would otherwise be kept whole every few minutes: what is
kept, under its own digest, are the rows that were new. Decision 0082.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256

from thawline.app.acts import Doing
from thawline.app.cold import FileAsRead, readings_of, record_file
from thawline.app.ports import Site
from thawline.base.instants import exactly
from thawline.store.pieces import joined
from thawline.store.readings import Readings

_HEAD = "milliseconds of UTC since 1970,thousandths of a degree Celsius\n"
READ_AS = "followed; the rows that were new"


@dataclass(frozen=True, slots=True)
class FollowedReadings:
    """The recorded readings of a site's units: who follows, and which of several probes."""

    site: Site
    by: str
    probe: str = ""

    def of(self, unit: str) -> Readings:
        """Return all readings of a unit that an entry vouches for."""
        with self.site.ledger.view() as view:
            return joined(each.readings for each in readings_of(self.site, view, unit))

    def add(self, unit: str, new: Readings, source: str) -> None:
        """Record new readings of a unit from a file; on disk when this returns."""
        now = self.site.now()
        content = rows_of(new)

        def blocks() -> Iterable[bytes]:
            return (content,)

        digest = sha256(content).hexdigest()
        file = FileAsRead(source, digest, blocks, READ_AS, self.probe)
        doing = Doing(self.by, exactly(now), now, self.site.mint())
        record_file(self.site, doing, unit, new, file)


def rows_of(new: Readings) -> bytes:
    """Return the rows that were taken from a file as they are kept, one reading a line."""
    rows = zip(new.at_ms.tolist(), new.temp_mc.tolist(), strict=True)
    return "".join([_HEAD, *(f"{at_ms},{temp_mc}\n" for at_ms, temp_mc in rows)]).encode()
