"""
Exact ranges around counts and shares, and what was seen beside what was expected.

Clopper-Pearson for a share of doses, Garwood for a count against an expected number. Both
hold at least the level that is asked for, whatever the truth is.
"""

from dataclasses import dataclass

from scipy.stats import beta, chi2

from thawline.base.errors import RecordError

LEVEL = 0.95  # the usual level; by convention, shown beside every range
_SURE = 1.0


@dataclass(frozen=True, slots=True)
class Rate:
    """Cases for so many doses with their range; `rate` and range are for `per` doses."""

    cases: int
    doses: int
    per: int
    rate: float
    lower: float
    upper: float


@dataclass(frozen=True, slots=True)
class Against:
    """
    A count beside the number expected, as a ratio with its range.

    `ratio`: seen over expected. The range is that of the count over the expected number,
    which is taken as known.
    """

    seen: int
    expected: float
    ratio: float
    lower: float
    upper: float

    @property
    def is_above(self) -> bool:
        """Say whether the whole range is above one."""
        return self.lower > 1

    @property
    def is_below(self) -> bool:
        """Say whether the whole range is below one."""
        return self.upper < 1


def rate_of(cases: int, doses: int, per: int, level: float = LEVEL) -> Rate:
    """
    Return cases per so many doses with the Clopper-Pearson range.

    Raises:
        RecordError: There are no doses, fewer than no cases, or more cases than doses.

    Source: Clopper and Pearson, Biometrika 26 (1934) 404-413, from memory; the published
        ranges it is checked against are in tests/against_published_sources.
    """
    if doses < 1 or not 0 <= cases <= doses:
        raise RecordError(
            f"{cases} cases of {doses} doses",
            advice="cases from 0 to doses, doses 1 or more",
        )
    if per < 1:
        raise RecordError(f"per {per} doses", advice="1 or more, as in --per 1000000")
    lower, upper = share_range(cases, doses, level)
    return Rate(cases, doses, per, cases / doses * per, lower * per, upper * per)


def share_range(cases: int, of: int, level: float = LEVEL) -> tuple[float, float]:
    """Return the Clopper-Pearson range of a share."""
    tail = _tail(level)
    lower = 0.0 if cases == 0 else float(beta.ppf(tail, cases, of - cases + 1))
    upper = 1.0 if cases == of else float(beta.ppf(1 - tail, cases + 1, of - cases))
    return lower, upper


def count_range(count: int, level: float = LEVEL) -> tuple[float, float]:
    """
    Return the Garwood range of a Poisson count.

    Raises:
        RecordError: The count is below zero.

    Source: Garwood, Biometrika 28 (1936) 437-442, from memory; values in print are checked.
    """
    if count < 0:
        raise RecordError(f"fewer than none seen: {count}", advice="count from 0")
    tail = _tail(level)
    lower = 0.0 if count == 0 else float(chi2.ppf(tail, 2 * count)) / 2
    return lower, float(chi2.ppf(1 - tail, 2 * (count + 1))) / 2


def against(seen: int, expected: float, level: float = LEVEL) -> Against:
    """
    Return a count beside the expected number.

    Raises:
        RecordError: The count is below zero, or the expected number not above it.
    """
    if not 0 < expected < float("inf"):
        raise RecordError(
            f"expected {expected}: nothing can be held against that",
            advice="an expected number above 0: doses so far times the stated rate",
        )
    lower, upper = count_range(seen, level)
    return Against(seen, expected, seen / expected, lower / expected, upper / expected)


def _tail(level: float) -> float:
    if not 0 < level < _SURE:
        raise RecordError(f"not a level: {level}", advice="between 0 and 1, as in 0.95")
    return (1 - level) / 2
