"""
One open vial for each preparer, one lot for each table: common practice, against mix-ups.

It is advice beside the picture of a table and refuses nothing: what stands open is a fact.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from thawline.base.findings import Finding, Level


@dataclass(frozen=True, slots=True)
class OpenHere:
    """A vial that stands open at a table with doses in it, in the order of their use-by."""

    vial: str
    lot: str
    by: str


def lot_of_table(standing: Sequence[OpenHere]) -> str | None:
    """Return the lot that a table draws from now; None while nothing is open there."""
    return standing[0].lot if standing else None


def vial_of(standing: Sequence[OpenHere], preparer: str) -> str | None:
    """Return the vial to draw from: the preparer's own, else the first one of the table."""
    own = [each.vial for each in standing if each.by == preparer]
    return next(iter([*own, *(each.vial for each in standing)]), None)


def table_findings(standing: Sequence[OpenHere]) -> Iterator[Finding]:
    """Yield what is mixed at a table: two lots, or one preparer with two open vials."""
    lots = list(dict.fromkeys(each.lot for each in standing))
    if len(lots) > 1:
        says = (
            f"lots {' and '.join(lots)} stand open at one table. "
            f"Finish {standing[0].vial}, clear it away, and only then go on with the next"
        )
        yield Finding(Level.CHECK, "two-lots-at-a-table", says)
    for preparer in dict.fromkeys(each.by for each in standing):
        own = [each.vial for each in standing if each.by == preparer]
        if len(own) > 1:
            says = f"{preparer} has {' and '.join(own)} open. Finish {own[0]} first"
            yield Finding(Level.CHECK, "two-open-vials", says)
