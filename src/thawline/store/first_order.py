"""
A body that takes on the temperature around it, and when it will be at a limit.

T(t) = T_amb + (T0 - T_amb) e^(-k t), with k = 1/tau. For one k it is a straight line in
g(t) = (1 - e^(-k t)) / k, so each k has an exact least-squares fit and an exact range of
crossings; the range over all k that the readings allow is the profile likelihood's.
Sources: docs/background/warming.md (Golub & Pereyra 1973; Fieller 1954).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import fdtri

Floats = NDArray[np.float64]

SHARE = 0.95  # of such ranges hold the true crossing; stated beside each of them
SLOWEST, FASTEST = 1e-4, 30.0  # k times the time looked at: a straight line, a step
RATES = 81  # k tried in each round, evenly spaced on a log scale
ROUNDS = 3  # each round looks between the k that the one before it left possible
UNIFORM = 12.0  # the variance of rounding to steps of q is q^2 / 12 (common practice)
LAST = 5  # readings at least that a straight line is drawn through
_MOST_LIKENESS = 0.9  # of neighbouring residuals; beyond it there is next to no information


@dataclass(frozen=True, slots=True)
class Crossing:
    """Minutes on the axis of the readings; `latest` infinite: perhaps never."""

    earliest: float
    latest: float


@dataclass(frozen=True, slots=True, eq=False)
class Warmed:
    """
    Readings of a stretch in which a body warms.

    Args:
        minutes: shape (n,), rising, from any beginning.
        degrees: shape (n,), degrees Celsius.
        step: degrees Celsius that readings are rounded to.
        ambient: degrees Celsius around the body; None where nobody knows.
    """

    minutes: Floats
    degrees: Floats
    step: float
    ambient: float | None = None

    @property
    def spare(self) -> int:
        """Return the readings beyond those that the unknowns take up."""
        return len(self.minutes) - (3 if self.ambient is None else 2)


@dataclass(frozen=True, slots=True, eq=False)
class _Fits:
    """The best fit for each k: shape (k,), but `spread` (k, p, p)."""

    rates: Floats
    squares: Floats
    weights: Floats  # shape (k, p): of 1 and g, or of e^(-k t) where the ambient is given
    spread: Floats  # the inverse of X'X


def crossing(warmed: Warmed, near: float, far: float) -> Crossing | None:
    """
    Return between when and when the body meets a limit that it has not met yet.

    The limit is somewhere from `near` to `far`: as read, less and more what the logger may be
    off. None: no first-order body that warms is in keeping with the readings.
    """
    fits, allowed = _possible(warmed)
    room = allowed - fits.squares
    early, _ = _ends(warmed.ambient, fits, room, near)
    _, late = _ends(warmed.ambient, fits, room, far)
    real = (room >= 0) & ~np.isnan(early) & ~np.isnan(late)
    if not real.any():
        return None
    return Crossing(
        _not_before_last(warmed, early[real].min()), _not_before_last(warmed, late[real].max())
    )


def straight_on(warmed: Warmed, limit: float) -> float:
    """
    Return the earliest minute at the limit when it goes on as straight as it did at the end.

    Air warms faster than what stands in it, so a rise can be quick at first and then go on
    slowly for longer than one body would. Such a rise only ever gets slower, and no curve that
    does is ahead of a straight line through its last readings: half of them, `LAST` at least.
    """
    start = min(len(warmed.minutes) // 2, len(warmed.minutes) - LAST)
    last = Warmed(warmed.minutes[start:], warmed.degrees[start:], warmed.step)
    span = last.minutes[-1] - last.minutes[0]
    fits = _fits(last, np.array([SLOWEST / span]))
    leeway = _leeway(last, float(fits.squares[0]), last.degrees - _values(last, fits, 0))
    early, _ = _ends_unknown(fits, np.array([leeway]), limit)
    return _not_before_last(last, float(early[0]))


def _not_before_last(warmed: Warmed, minutes: float) -> float:
    """Return minutes from the first reading on the axis of the readings, after the last one."""
    if np.isnan(minutes):
        return np.inf
    return float(max(warmed.minutes[0] + minutes, warmed.minutes[-1]))


def speeds_up(warmed: Warmed) -> bool:
    """Say whether the rise gets faster, as none does that only takes on what is around it."""
    span = warmed.minutes[-1] - warmed.minutes[0]
    free = Warmed(warmed.minutes, warmed.degrees, warmed.step)
    slowing = _fits(free, _grid(SLOWEST / span, FASTEST / span)).squares.min()
    faster = _fits(free, -_grid(SLOWEST / span, np.log(FASTEST) / span)).squares.min()
    return bool(slowing - faster > _leeway(free, float(faster), np.zeros(0)))


def _possible(warmed: Warmed) -> tuple[_Fits, float]:
    """Return fits close to all k that the readings allow, and the most squares allowed."""
    span = warmed.minutes[-1] - warmed.minutes[0]
    low, high = SLOWEST / span, FASTEST / span
    fits, allowed = _fits(warmed, _grid(low, high)), 0.0
    for _ in range(ROUNDS):
        best = int(fits.squares.argmin())
        residuals = warmed.degrees - _values(warmed, fits, best)
        allowed = float(fits.squares[best]) + _leeway(
            warmed, float(fits.squares[best]), residuals
        )
        inside = np.flatnonzero(fits.squares <= allowed)
        low = fits.rates[max(inside[0] - 1, 0)]
        high = fits.rates[min(inside[-1] + 1, len(fits.rates) - 1)]
        fits = _fits(warmed, _grid(low, high))
    allowed = max(allowed, float(fits.squares.min()))
    return fits, allowed


def _grid(low: float, high: float) -> Floats:
    return np.geomspace(low, high, RATES)


def _leeway(warmed: Warmed, squares: float, residuals: Floats) -> float:
    """
    Return by how much the squares of a possible curve may exceed those of the best one.

    F(1, n - p) times the variance, which is never taken as less than that of the rounding;
    more where neighbouring residuals are alike, as they are when steps are coarse.
    """
    spare = max(warmed.spare, 1)
    variance = max(squares / spare, warmed.step**2 / UNIFORM)
    return float(fdtri(1, spare, SHARE)) * variance * _likeness(residuals)


def _likeness(residuals: Floats) -> float:
    """Return how many readings are worth one, from the lag-1 correlation of residuals."""
    whole = float(residuals @ residuals)
    if whole == 0:
        return 1
    alike = min(max(float(residuals[1:] @ residuals[:-1]) / whole, 0), _MOST_LIKENESS)
    return (1 + alike) / (1 - alike)


def _columns(minutes: Floats, rates: Floats, *, given: bool) -> Floats:
    """Return X, shape (k, n, p): e^(-k t), or 1 and g(t)."""
    decay = np.exp(-np.outer(rates, minutes))
    if given:
        return decay[:, :, None]
    gained = -np.expm1(-np.outer(rates, minutes)) / rates[:, None]
    return np.stack([np.ones_like(gained), gained], axis=2)


def _fits(warmed: Warmed, rates: Floats) -> _Fits:
    minutes = warmed.minutes - warmed.minutes[0]
    above = warmed.degrees - (warmed.ambient or 0)
    columns = _columns(minutes, rates, given=warmed.ambient is not None)
    turned = columns.transpose(0, 2, 1)
    spread: Floats = np.linalg.inv(turned @ columns).astype(np.float64)
    weights = (spread @ (turned @ above)[:, :, None])[:, :, 0]
    left = above - (columns @ weights[:, :, None])[:, :, 0]
    squares: Floats = (left * left).sum(axis=1)
    return _Fits(rates, squares, weights, spread)


def _values(warmed: Warmed, fits: _Fits, which: int) -> Floats:
    minutes = warmed.minutes - warmed.minutes[0]
    rate = fits.rates[which : which + 1]
    columns = _columns(minutes, rate, given=warmed.ambient is not None)[0]
    values: Floats = columns @ fits.weights[which] + (warmed.ambient or 0)
    return values


def _ends(
    ambient: float | None, fits: _Fits, room: Floats, limit: float
) -> tuple[Floats, Floats]:
    """Return for each k the earliest and latest minute at the limit; NaN: it does not warm."""
    if ambient is None:
        return _ends_unknown(fits, room, limit)
    return _ends_given(ambient, fits, room, limit)


def _ends_unknown(fits: _Fits, room: Floats, limit: float) -> tuple[Floats, Floats]:
    """Return both ends for each k: (d - b g)^2 <= room v(g), solved for g, then for t."""
    away, slope = limit - fits.weights[:, 0], fits.weights[:, 1]
    room = np.maximum(room, 0)
    square = slope**2 - room * fits.spread[:, 1, 1]
    half = away * slope + room * fits.spread[:, 0, 1]
    rest = away**2 - room * fits.spread[:, 0, 0]
    root = np.sqrt(np.maximum(half**2 - square * rest, 0))
    rises = slope > 0
    with np.errstate(divide="ignore", invalid="ignore"):
        first, second = (half - root) / square, (half + root) / square
        sure = rises & (square > 0)
        # A slope that may be nothing: perhaps never, and not before the nearer solution.
        early = np.where(sure, first, np.where(rises, np.maximum(first, second), np.nan))
        late = np.where(sure, second, np.where(rises, np.inf, np.nan))
        return _when(early, fits.rates), _when(late, fits.rates)


def _when(gained: Floats, rates: Floats) -> Floats:
    """Return t for g; infinite where the body levels off before."""
    reached = gained * rates
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(reached >= 1, np.inf, -np.log1p(-reached) / rates)


def _ends_given(
    ambient: float, fits: _Fits, room: Floats, limit: float
) -> tuple[Floats, Floats]:
    """Return both ends for each k, with e^(-k t) = (ambient - limit) / (ambient - T0)."""
    below = -fits.weights[:, 0]
    slack = np.sqrt(np.maximum(room, 0) * fits.spread[:, 0, 0])
    away = ambient - limit
    with np.errstate(divide="ignore", invalid="ignore"):
        if away <= 0:
            never = np.where(below > 0, np.inf, np.nan)
            return never, never
        early = np.where(below > slack, np.log((below - slack) / away) / fits.rates, 0)
        late = np.log((below + slack) / away) / fits.rates
        return np.where(below > 0, early, np.nan), np.where(below > 0, late, np.nan)
