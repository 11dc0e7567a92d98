"""
Readings that look like a fault of the probe and not like a temperature.

A suspected fault is told beside the reading and takes nothing away: the reading stays, and it
stays an excursion until a person says otherwise.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from thawline.store.readings import Temperatures, Times

# Values that common digital probes give when they start up or are cut off. [common practice]
STARTED_MC = 85_000
CUT_OFF_MC = -127_000
# What a probe for vaccine can see at all: readings are taken from -100 to 60 °C.
LOWEST_MC, HIGHEST_MC = -100_000, 60_000
# Air in an opened unit moves by a few degrees a minute; a probe that leaves and comes back by
# more than 5 °C at more than 10 °C a minute has not been there. [common practice, from memory]
JUMP_MC = 5_000
JUMP_MC_PER_MINUTE = 10_000
MINUTE_MS = 60_000


class Suspicion(StrEnum):
    """Why a reading is suspected."""

    STARTED = "a probe that has just started gives 85.0"
    CUT_OFF = "a probe that is cut off gives -127"
    OUT_OF_SIGHT = "outside -100 to 60 °C"
    TOO_FAST = "there and back faster than air can change"


@dataclass(frozen=True, slots=True)
class Spike:
    """A suspected fault; still a reading, and still an excursion where it is out of range."""

    at_ms: int
    temp_mc: int
    why: Suspicion


def spikes(
    at_ms: Times, warmest_mc: Temperatures, coldest_mc: Temperatures
) -> tuple[Spike, ...]:
    """Return the suspected faults among readings that are in order, earliest first."""
    seen = (warmest_mc,) if warmest_mc is coldest_mc else (warmest_mc, coldest_mc)
    found = {
        (int(at_ms[i]), int(temps[i])): _why(int(temps[i]))
        for temps in seen
        for i in np.flatnonzero((temps > HIGHEST_MC) | (temps < LOWEST_MC)).tolist()
    }
    for temps in seen:
        for i in _too_fast(at_ms, temps):
            found.setdefault((int(at_ms[i]), int(temps[i])), Suspicion.TOO_FAST)
    return tuple(Spike(at, temp, why) for (at, temp), why in sorted(found.items()))


def _why(temp_mc: int) -> Suspicion:
    named = {STARTED_MC: Suspicion.STARTED, CUT_OFF_MC: Suspicion.CUT_OFF}
    return named.get(temp_mc, Suspicion.OUT_OF_SIGHT)


def _too_fast(at_ms: Times, temps_mc: Temperatures) -> list[int]:
    """Return the places of readings that lie far from both neighbours, on the same side."""
    if not len(temps_mc) or int(temps_mc.max()) - int(temps_mc.min()) <= JUMP_MC:
        return []
    change = np.diff(temps_mc.astype(np.int64))
    big = np.abs(change) > JUMP_MC
    if not big.any():
        return []
    fast = big & (np.abs(change) * MINUTE_MS > JUMP_MC_PER_MINUTE * np.diff(at_ms))
    turns = np.sign(change[1:]) == -np.sign(change[:-1])
    return (np.flatnonzero(fast[1:] & fast[:-1] & turns) + 1).tolist()
