"""Faints counted at this site beside how many were to be expected, rate by stated rate."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from thawline.adapters.reaction_tables import shipped
from thawline.app.ports import Site
from thawline.app.reactions import FAINT, doses_and_seen
from thawline.report.reactions import StatedRate
from thawline.report.seen import Doses, rows_of


@dataclass(frozen=True, slots=True)
class Expected:
    """What one stated rate leads to expect of the doses so far, and what that says."""

    rate: StatedRate
    source: str
    count: str
    says: str


@dataclass(frozen=True, slots=True)
class Faints:
    """Doses so far, faints seen, and what was to be expected; none without a dose."""

    doses: int
    seen: int
    expected: tuple[Expected, ...]


def faints_of(site: Site) -> Faints:
    """Return the faints that were stamped or noted here, beside those expected."""
    found = list(doses_and_seen([site], FAINT))
    rates = [rate for rate in shipped().rates if rate.code == FAINT]
    return Faints(
        sum(each.doses for each in found),
        sum(each.seen for each in found),
        tuple(each for rate in rates for each in _beside(found, rate)),
    )


def _beside(found: Sequence[Doses], rate: StatedRate) -> list[Expected]:
    rows = rows_of(found, "site", Fraction(rate.cases, rate.doses))
    source = shipped().titles.get(rate.source, rate.source)
    return [
        Expected(rate, source, _one_decimal(row.found.expected), row.says)
        for row in rows
        if row.found is not None
    ]


def _one_decimal(expected: float) -> str:
    text = f"{expected:,.1f}"
    return text if text != "0.0" else "less than 0.1"
