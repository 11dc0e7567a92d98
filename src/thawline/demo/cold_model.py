"""
A freezer or a refrigerator as a physical model: air, what stands in it, a compressor, a probe.

Air takes on heat through the walls, gives it to what stands in it and loses it while the
compressor runs. Doors, defrosts, a cut of the power and a failing compressor are happenings
with a beginning and an end. Everything here is invented; docs/background/cold-model.md.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from random import Random

STEP_S = 10
_MINUTE_S = 60


class What(Enum):
    """Something that happens to a cabinet for a while."""

    DOOR = auto()  # open: the room's air comes in
    DEFROST = auto()  # a heater melts the frost, the compressor waits
    NO_POWER = auto()  # neither compressor nor defrost
    FAILS = auto()  # the compressor does not run; all else does
    NO_LOGGER = auto()  # the logger writes nothing; the cabinet goes on


@dataclass(frozen=True, slots=True)
class Happening:
    """What happens from a second to another, after local midnight of the day."""

    what: What
    from_s: int
    to_s: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cabinet:
    """
    The figures of one cabinet with its probe; rates are in degrees a minute.

    Args:
        cuts_in_c: The air temperature at which the compressor starts.
        cuts_out_c: At which it stops.
        cools: By how much a running compressor cools the air.
        leaks: The share of the difference to the room that comes in each minute.
        leaks_open: The same with the door open.
        exchanges: The share of the difference between air and contents, each minute.
        mass: How many times the air's own heat capacity the contents have.
        defrosts: By how much the heater warms the air.
        probe_lag_min: How long the probe takes to follow, 63 % of the way.
        noise_c: The standard deviation of its noise.
        step_c: The step of its display.
    """

    cuts_in_c: float
    cuts_out_c: float
    cools: float
    leaks: float
    leaks_open: float
    exchanges: float
    mass: float
    defrosts: float
    probe_lag_min: float
    noise_c: float
    step_c: float


FREEZER = Cabinet(
    cuts_in_c=-18.6,
    cuts_out_c=-21.4,
    cools=0.85,
    leaks=0.006,
    leaks_open=0.12,
    exchanges=0.15,
    mass=6,
    defrosts=0.35,
    probe_lag_min=4,
    noise_c=0.06,
    step_c=0.1,
)
REFRIGERATOR = Cabinet(
    cuts_in_c=6.0,
    cuts_out_c=3.8,
    cools=0.4,
    leaks=0.008,
    leaks_open=0.15,
    exchanges=0.08,
    mass=5,
    defrosts=0.1,
    probe_lag_min=6,
    noise_c=0.05,
    step_c=0.1,
)


@dataclass(slots=True)
class _Inside:
    """What is going on in a cabinet at a moment."""

    air_c: float
    contents_c: float
    probe_c: float
    runs: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """One reading: seconds after local midnight of the day, degrees Celsius as displayed."""

    at_s: int
    temp_c: float


def readings_of(
    cabinet: Cabinet,
    room_c: float,
    happenings: Sequence[Happening],
    times: range,
    throws: Random,
) -> tuple[Seen, ...]:
    """
    Return what the probe shows at those seconds, without those at which the logger is out.

    Args:
        cabinet: Its figures.
        room_c: The temperature around it.
        happenings: What happens to it.
        times: Seconds after local midnight of the day; below zero for the evening before.
        throws: The dice of its noise.
    """
    shown = []
    for at_s, probe_c in _course(cabinet, room_c, happenings, times):
        noisy = probe_c + throws.gauss(0, cabinet.noise_c)
        if not _now(happenings, at_s, What.NO_LOGGER):
            steps = round(noisy / cabinet.step_c)
            shown.append(Seen(at_s, round(steps * cabinet.step_c, 3)))
    return tuple(shown)


def _course(
    cabinet: Cabinet, room_c: float, happenings: Sequence[Happening], times: range
) -> Iterator[tuple[int, float]]:
    """Yield the probe's temperature at each time, after some hours of settling in."""
    middle = (cabinet.cuts_in_c + cabinet.cuts_out_c) / 2
    inside = _Inside(middle, middle, middle, runs=False)
    for at_s in range(times.start - _SETTLES_S, times.stop, STEP_S):
        if at_s >= times.start and (at_s - times.start) % times.step == 0:
            yield at_s, inside.probe_c
        _advance(inside, cabinet, room_c, [h for h in happenings if h.from_s <= at_s < h.to_s])


_SETTLES_S = 6 * 60 * _MINUTE_S


def _advance(
    inside: _Inside, cabinet: Cabinet, room_c: float, now: Sequence[Happening]
) -> None:
    """Bring a cabinet forward by one step."""
    going = {happening.what for happening in now}
    _switch(inside, cabinet, going)
    minutes = STEP_S / _MINUTE_S
    leaks = cabinet.leaks_open if What.DOOR in going else cabinet.leaks
    given = cabinet.exchanges * (inside.contents_c - inside.air_c)
    change = leaks * (room_c - inside.air_c) + given
    if inside.runs:
        change -= cabinet.cools
    if What.DEFROST in going and What.NO_POWER not in going:
        change += cabinet.defrosts
    inside.probe_c += (inside.air_c - inside.probe_c) * minutes / cabinet.probe_lag_min
    inside.contents_c -= given * minutes / cabinet.mass
    inside.air_c += change * minutes


def _switch(inside: _Inside, cabinet: Cabinet, going: set[What]) -> None:
    """Start or stop the compressor by the air, as a thermostat with two limits does."""
    if going & {What.DEFROST, What.NO_POWER, What.FAILS}:
        inside.runs = False
    elif inside.air_c >= cabinet.cuts_in_c:
        inside.runs = True
    elif inside.air_c <= cabinet.cuts_out_c:
        inside.runs = False


def _now(happenings: Sequence[Happening], at_s: int, what: What) -> bool:
    return any(h.what is what and h.from_s <= at_s < h.to_s for h in happenings)
