"""
Needles, syringes, swabs and the rest: what a day needs against what was counted.

What one dose uses is data (`supplies.toml`), marked common practice, or the site's own row.
Needles are counted by length, each for a share of the people, at the plan's service level.
What nobody counted is not known, and never taken to be enough. Diluent on the site is a stop:
this vaccine is not diluted. See docs/background/supplies.md.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from scipy.stats import binom

from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level, worst_first

_WHOLE = 1e-9
_EPINEPHRINE, _DILUENT = "epinephrine", "diluent"


class Per(StrEnum):
    """What a use is counted by."""

    DOSE = "dose"
    VIAL = "vial"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class Use:
    """What one dose, vial or day uses of a kind; the fewest a site works with; who says so."""

    per: Per
    use: float
    fewest: int
    source: str


@dataclass(frozen=True, slots=True)
class Counted:
    """
    One row of the site's count: a thing, its kind, how many there are.

    `share`: of the people, those it is for; None: all. `use` and `fewest` stand before the
    shipped figures.
    """

    name: str
    kind: str
    on_hand: int
    share: float | None = None
    use: float | None = None
    fewest: int | None = None


@dataclass(frozen=True, slots=True)
class DayAhead:
    """The doses and vials a day may need, and the chance that they are enough."""

    doses: int
    vials: int
    service: float

    def __post_init__(self) -> None:
        if self.doses < 0 or self.vials < 0 or not 0 < self.service < 1:
            raise RecordError(
                f"{self.doses} doses, {self.vials} vials, chance {self.service}",
                advice="0 or more, and a chance between 0 and 1",
            )


@dataclass(frozen=True, slots=True)
class Line:
    """Need against stock of one thing; `on_hand` None: nobody counted, `short` not known."""

    name: str
    kind: str
    need: int
    on_hand: int | None
    source: str

    @property
    def short(self) -> int | None:
        """Return how many are missing; 0 when there are enough."""
        return None if self.on_hand is None else max(0, self.need - self.on_hand)


def need_against_stock(
    uses: Mapping[str, Use], counted: Sequence[Counted], day: DayAhead
) -> tuple[Line, ...]:
    """
    Return a line for each row counted, and one for each kind that nobody counted.

    Raises:
        RecordError: A kind is not known, or the shares of a kind leave people out.
    """
    for row in counted:
        if row.kind not in uses:
            raise RecordError(
                f"{row.name!r}: not a kind of supplies: {row.kind!r}",
                advice=f"one of {', '.join(uses)}",
            )
    _shares(counted)
    lines = [_line(row, uses[row.kind], day) for row in counted]
    known = {row.kind for row in counted}
    lines += [
        _line(Counted(kind, kind, 0), use, day, is_counted=False)
        for kind, use in uses.items()
        if kind not in known
    ]
    return tuple(lines)


def supply_findings(lines: Iterable[Line]) -> tuple[Finding, ...]:
    """Return what to do, worst first: diluent, epinephrine, what is short, what is unknown."""
    found = []
    for line in lines:
        if line.kind == _DILUENT:
            found += _diluent(line)
        elif line.on_hand is None:
            level = Level.ACT if line.kind == _EPINEPHRINE else Level.CHECK
            says = f"{line.name}: nobody counted it; {line.need} needed. Count it."
            found.append(Finding(level, "supply-not-counted", says))
        elif line.short and line.kind == _EPINEPHRINE:
            says = (
                f"{line.name}: {line.on_hand} doses on site, fewer than {line.need}. "
                "Vaccinating pauses until the clinical lead resumes it; call the clinical lead."
            )
            found.append(Finding(Level.STOP, "epinephrine-short", says))
        elif line.short:
            says = f"{line.name}: {line.short} too few ({line.on_hand} of {line.need})."
            found.append(Finding(Level.ACT, "supply-short", says))
    return worst_first(found)


def _diluent(line: Line) -> list[Finding]:
    if line.on_hand is None:
        says = (
            "Diluent: nobody looked. See that none is on the site: this vaccine is not diluted."
        )
        return [Finding(Level.CHECK, "diluent-not-looked-for", says)]
    if not line.on_hand:
        return []
    says = (
        f"Diluent on site ({line.on_hand} {line.name}): this vaccine is not diluted. Take it "
        "away from the draw tables now, set it apart, and call the vaccine coordinator. If any "
        "was mixed: set those vials and syringes apart, do not use, do not discard."
    )
    return [Finding(Level.STOP, "diluent-on-site", says)]


def _line(row: Counted, use: Use, day: DayAhead, *, is_counted: bool = True) -> Line:
    doses = day.doses
    if row.share is not None and row.share < 1:
        doses = int(binom.ppf(day.service, day.doses, row.share))
    times = {Per.DOSE: doses, Per.VIAL: day.vials, Per.DAY: 1}[use.per]
    each = use.use if row.use is None else row.use
    fewest = use.fewest if row.fewest is None else row.fewest
    return Line(
        name=row.name,
        kind=row.kind,
        need=max(math.ceil(times * each - _WHOLE), fewest),
        on_hand=row.on_hand if is_counted else None,
        source=use.source if row.use is None and row.fewest is None else "this site's own row",
    )


def _shares(counted: Sequence[Counted]) -> None:
    """Raise where several rows of one kind do not say whom each is for, or leave some out."""
    for kind in {row.kind for row in counted if row.kind != _DILUENT}:
        rows = [row for row in counted if row.kind == kind]
        given = sum(1.0 if row.share is None else row.share for row in rows)
        if given < 1 - _WHOLE or (len(rows) > 1 and any(row.share is None for row in rows)):
            raise RecordError(
                f"{kind}: the shares of its {len(rows)} rows come to {given:g}",
                advice="each row with a share of the people, 1 or more in all",
            )
