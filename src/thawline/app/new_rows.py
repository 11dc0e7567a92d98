"""The rows of a followed file that are new, and how they are said."""

from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from thawline.base.instants import Instant, from_ms, local_time, to_ms
from thawline.store.alerts import degrees
from thawline.store.readings import Readings, readings


def unseen(known: Readings, found: Readings) -> Readings:
    """Return the readings that are not known; another temperature at a known time is one."""
    new = ~np.isin(_pairs(found), _pairs(known))
    return readings(found.at_ms[new], found.temp_mc[new])


def _pairs(seen: Readings) -> NDArray[np.complex128]:
    """Return time and temperature as one number each; both fit into it exactly."""
    return seen.at_ms.astype(np.float64) + 1j * seen.temp_mc


def come(seen: Readings, now: Instant) -> Readings:
    """Return the readings whose time has come."""
    past = seen.at_ms <= to_ms(now)
    return readings(seen.at_ms[past], seen.temp_mc[past])


def joined_with(known: Readings, new: Readings) -> Readings:
    """Return the known readings and the new ones behind them."""
    at_ms = np.concatenate([known.at_ms, new.at_ms])
    return readings(at_ms, np.concatenate([known.temp_mc, new.temp_mc]))


def took(new: Readings, unit: str, path: Path, zone: ZoneInfo) -> str:
    """Return how many readings a file brought, and the last of them."""
    last = int(np.argmax(new.at_ms))
    at = local_time(from_ms(int(new.at_ms[last])), zone).strftime("%H:%M")
    many = "1 new reading" if len(new) == 1 else f"{len(new):,} new readings"
    shown = degrees(int(new.temp_mc[last]))
    return f"{unit}: {many} from {path.name}, the last of {at} is {shown}"
