"""
Mean kinetic temperature: the one steady temperature that would have done the same harm.

It describes a record and clears nothing: a warm hour vanishes in a long cool week, and cold
does not show at all. It is never a verdict, and there is none for a record that touched 0 °C,
because the formula does not cross freezing. docs/background/mean-kinetic-temperature.md.
"""

from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from thawline.store.tidy import Averages, Settled, Tidy, is_gap

KELVIN_C = 273.15
"""Kelvin at 0 °C, by definition."""
GAS_CONSTANT_KJ_PER_MOL_K = 8.3144e-3
"""As USP 29-NF 24 (2006), chapter <1160>, prints it: with 83.144 kJ/mol it makes 10 000 K."""
# Steps that differ from the interval by no more than a tenth are the clock's, not the
# logger's: they still count as evenly spaced. [common practice]
_TENTHS = 10

FROZE = "a reading at or below 0 °C: the formula does not cross freezing"
NO_READINGS = "no readings"
NO_ENERGY = "the protocol states no activation energy"

Weights = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Description:
    """
    What describes a record and clears nothing.

    Args:
        min_c: The coldest reading; None without readings.
        mean_c: The plain mean.
        max_c: The warmest reading.
        mkt_c: The mean kinetic temperature; None where there is none, and `refused` says why.
        refused: Why there is no mean kinetic temperature.
        even: Whether each reading counted once; else each counted for its time.
    """

    min_c: float | None
    mean_c: float | None
    max_c: float | None
    mkt_c: float | None
    refused: str | None
    even: bool


def mean_kinetic_c(
    temps_c: NDArray[np.float64], weights: Weights, activation_energy_kj_per_mol: float
) -> float:
    """
    Return the steady temperature, in degrees Celsius, with the same mean rate of decay.

    Args:
        temps_c: shape (n,), degrees Celsius; n at least 1.
        weights: shape (n,), not negative, not all 0; only their ratios count.
        activation_energy_kj_per_mol: Of the decay, from the protocol.

    Source:
        J. D. Haynes, J Pharm Sci 60:927-929, 1971, as USP 29-NF 24 <1160> prints it.
    """
    kelvins = activation_energy_kj_per_mol / GAS_CONSTANT_KJ_PER_MOL_K
    exponents = -kelvins / (temps_c + KELVIN_C)
    # Log-sum-exp: nothing underflows, whatever the activation energy.
    highest = exponents.max()
    share = np.dot(weights / weights.sum(), np.exp(exponents - highest))
    return kelvins / -float(highest + np.log(share)) - KELVIN_C


def described(tidy: Tidy, activation_energy_kj_per_mol: float | None) -> Description:
    """
    Return the description of a record.

    Args:
        tidy: In order; suspected faults are still in it.
        activation_energy_kj_per_mol: From the protocol; None: it states none.
    """
    running = RunningDescription(tidy.interval_ms)
    running.add(tidy.settled)
    return running.finish(activation_energy_kj_per_mol)


class RunningDescription:
    """
    The same for a record that comes in blocks, in bounded memory: add each, then finish.

    Readings are whole thousandths of a degree, so it is enough to count how often and for how
    long each was there; the order of adding cannot change the sum.

    Args:
        interval_ms: The usual or stated interval; None only for a record without steps.
    """

    def __init__(self, interval_ms: int | None) -> None:
        self._interval_ms = interval_ms or 0
        self._times: dict[float, int] = {}
        self._halves_ms: dict[float, int] = {}
        self._last: Settled | None = None
        self._even = True
        self._min_mc: int | None = None
        self._max_mc: int | None = None

    def add(self, block: Settled) -> None:
        """Take the next instants, all of them later than those before."""
        if not len(block):
            return
        coldest, warmest = int(block.coldest_mc.min()), int(block.warmest_mc.max())
        self._min_mc = coldest if self._min_mc is None else min(self._min_mc, coldest)
        self._max_mc = warmest if self._max_mc is None else max(self._max_mc, warmest)
        joined = block if self._last is None else block.after(self._last)
        counts = _counted(block)
        _add(self._times, counts)
        self._add_lengths(joined, counts)
        self._last = block.last(1)

    def finish(self, activation_energy_kj_per_mol: float | None) -> Description:
        """Return the description of all blocks together."""
        if self._min_mc is None or self._max_mc is None:
            return Description(None, None, None, None, NO_READINGS, even=True)
        temps, weights = _sorted_pairs(self._times if self._even else self._halves_ms)
        refused = _refusal(self._min_mc, activation_energy_kj_per_mol)
        energy = activation_energy_kj_per_mol
        return Description(
            min_c=self._min_mc / _MC,
            mean_c=float(np.dot(temps, weights) / weights.sum()),
            max_c=self._max_mc / _MC,
            mkt_c=None if refused else mean_kinetic_c(temps, weights, cast("float", energy)),
            refused=refused,
            even=self._even,
        )

    def _add_lengths(self, joined: Settled, counts: dict[float, int]) -> None:
        """Count half of each step for the readings at its ends; a gap counts for neither."""
        lengths = np.diff(joined.at_ms)
        interval = self._interval_ms
        if len(lengths) and lengths.min() == lengths.max() == interval:
            # Each reading stands for two halves, but the first and the last one for one.
            _add(self._halves_ms, {temp: 2 * interval * n for temp, n in counts.items()})
            first, last = joined.average_mc[[0, -1]].tolist()
            lacking = interval if self._last is None else -interval
            _add(self._halves_ms, {first: -lacking})
            _add(self._halves_ms, {last: -interval})
            return
        gap = is_gap(lengths, interval)
        known = np.where(gap, 0, lengths)
        odd = np.abs(known - interval) * _TENTHS > interval
        self._even = self._even and not bool((odd & ~gap).any())
        halves = np.zeros(len(joined), dtype=np.int64)
        halves[:-1] += known
        halves[1:] += known
        _add(self._halves_ms, _summed(joined.average_mc, halves))


_MC = 1000  # thousandths in a degree


def _refusal(min_mc: int, energy: float | None) -> str | None:
    """Return why there is no mean kinetic temperature; None where there is one."""
    if min_mc <= 0:
        return FROZE
    return NO_ENERGY if energy is None else None


def _add(sums: dict[float, int], more: dict[float, int]) -> None:
    for kind, amount in more.items():
        sums[kind] = sums.get(kind, 0) + amount


def _counted(block: Settled) -> dict[float, int]:
    """Return how many instants there are of each temperature."""
    lowest, highest = int(block.coldest_mc.min()), int(block.warmest_mc.max())
    if not block.agrees or highest - lowest > _COUNTED_MOST:
        return _summed(block.average_mc, np.ones(len(block), dtype=np.int64))
    counts = np.bincount(block.warmest_mc - lowest)
    kinds = np.flatnonzero(counts)
    return dict(
        zip((kinds + lowest).astype(float).tolist(), counts[kinds].tolist(), strict=True)
    )


def _summed(values: Averages, amounts: NDArray[np.int64]) -> dict[float, int]:
    """Return the sum of the amounts of each value."""
    kinds, which = np.unique(values, return_inverse=True)
    sums = np.zeros(len(kinds), dtype=np.int64)
    np.add.at(sums, which, amounts)
    return dict(zip(kinds.tolist(), sums.tolist(), strict=True))


# From -100 to 60 °C in thousandths; wilder values are sorted instead of counted.
_COUNTED_MOST = 160_000


def _sorted_pairs(sums: dict[float, int]) -> tuple[NDArray[np.float64], Weights]:
    """Return values in degrees and their weights, coldest first, however they came in."""
    pairs = np.array(sorted(sums.items()), dtype=np.float64)
    return pairs[:, 0] / _MC, pairs[:, 1]
