"""
Reactions seen beside those expected: by site, by lot, by number of the dose.

Expected is doses so far times a stated rate, and the rate's case definition goes with it.
Where several are compared, chance has had as many tries: a row is named above only if its
p-value, adjusted for that, is below the level too. Ranges are Garwood's. See
docs/background/reactions.md.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scipy.stats import poisson

from thawline.base.errors import NotFoundError, RecordError
from thawline.report.among_many import adjusted, shareable
from thawline.report.intervals import LEVEL, Against, against
from thawline.report.plainly import FEW

BY = ("site", "lot", "dose")


@dataclass(frozen=True, slots=True)
class Doses:
    """Doses of one lot and number at a site, and how many a reaction followed."""

    site: str
    lot: str
    number: int  # of the dose; 0: not known
    doses: int
    seen: int


@dataclass(frozen=True, slots=True)
class Row:
    """
    One group: its doses, what was seen, what was expected, and what that says.

    `found` is None without doses: nothing can be expected of none. `p` is the chance of so many
    or more, adjusted for the number of groups. Hidden rows hold a count too small to be shared.
    """

    name: str
    doses: int
    seen: int
    found: Against | None
    p: float | None
    hidden: bool = False

    @property
    def is_above(self) -> bool:
        """Say whether it is more than chance explains, among all that were compared."""
        certain = self.found is not None and self.found.is_above
        return certain and self.p is not None and self.p < 1 - LEVEL

    @property
    def says(self) -> str:
        """Return it in a few words."""
        if self.hidden:
            return "not shown: a count this small, or its sum, would name a person"
        if self.found is None:
            return "no dose is known: nothing can be expected"
        if self.is_above:
            return "more than chance explains"
        if self.found.is_below:
            return "fewer than expected: are all of them recorded?"
        return FEW


def rows_of(
    found: Iterable[Doses], by: str, rate: Fraction, smallest: int | None = None
) -> tuple[Row, ...]:
    """
    Return a row for each group, by name.

    Args:
        found: What was counted.
        by: site, lot or dose.
        rate: Cases expected for each dose; above 0.
        smallest: Counts below it are hidden, with one more where a sum would tell it; None:
            nothing leaves the site, so all are shown.

    Raises:
        RecordError: There is no such grouping, or nothing is expected at that rate.
    """
    if rate <= 0:
        raise RecordError(
            "expected 0: nothing can be held against that",
            advice="a rate above 0, as in --rate 16/64900",
        )
    groups: dict[str, list[Doses]] = defaultdict(list)
    name = _naming(by)
    for each in found:
        groups[name(each)].append(each)
    counts = [
        (group, sum(e.doses for e in rows), sum(e.seen for e in rows))
        for group, rows in sorted(groups.items())
    ]
    return _judged(counts, rate, smallest)


def lot_rows(found: Sequence[Doses], lot: str) -> tuple[Doses, ...]:
    """Return what was counted of one lot; NotFoundError if nobody had it."""
    rows = tuple(each for each in found if each.lot == lot)
    if not rows:
        lots = ", ".join(sorted({each.lot for each in found})) or "none"
        raise NotFoundError(f"nobody had a dose of lot {lot}", advice=f"lots given: {lots}")
    return rows


def _judged(
    counts: Sequence[tuple[str, int, int]], rate: Fraction, smallest: int | None
) -> tuple[Row, ...]:
    expected = {name: float(doses * rate) for name, doses, _ in counts if doses}
    chances = [
        float(poisson.sf(seen - 1, expected[name])) for name, doses, seen in counts if doses
    ]
    p = dict(zip(expected, adjusted(chances), strict=True))
    shown = shareable({name: seen for name, _, seen in counts}, smallest or 0)
    return tuple(
        Row(
            name,
            doses,
            seen,
            against(seen, expected[name]) if doses else None,
            p.get(name),
            hidden=smallest is not None and shown[name] is None,
        )
        for name, doses, seen in counts
    )


def _naming(by: str) -> Callable[[Doses], str]:
    names: dict[str, Callable[[Doses], str]] = {
        "site": lambda each: each.site,
        "lot": lambda each: each.lot,
        "dose": lambda each: f"dose {each.number}" if each.number else "?",
    }
    if by not in names:
        raise RecordError(f"not a grouping: {by!r}", advice=f"one of {', '.join(BY)}")
    return names[by]
