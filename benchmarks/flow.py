"""
One clinic day of 2,400 bookings in five engines: how fast, and whether they agree.

The model: 60 slots of ten minutes, 40 people booked in each, 8 % do not come, how late is
normal (-5, 8 minutes), four stations with lognormal times, 15 or 30 minutes of observation.
SimPy and Ciw are independent engines with random numbers of their own: their means must lie
within four standard errors. The C file and the plain Python run are the same algorithm with
the same draws: their bits must be equal. Each piece of work is a process of its own, one after
the other in turns, and is charged with the processor's time after a first day.

`benchmarks/flow.py 400` plays a tenth of the days.
"""

import ctypes
import json
import math
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

import numpy as np

DAYS, TURNS, SEED = 4_000, 5, 2_400
# Days of each engine as a share of SimPy's; Ciw is the slowest by far.
SHARES = {"compiled": 5, "C": 5, "plain Python": 1 / 20, "SimPy": 1, "Ciw": 1 / 8}
HOLD_SIMPY, HOLD_CIW, HOLD_C, HOLD_PLAIN, MOST_Z = 250, 700, 1.15, 4, 4
SLOTS, BOOKED, SLOT_S, NO_SHOW, LATE_S, LATE_SD_S = 60, 40, 600.0, 0.08, -300.0, 480.0
STATIONS = (("greet", 4, 45, 0.5), ("screen", 8, 100, 0.6), ("register", 6, 75, 0.5))
STATIONS += (("vaccinate", 12, 150, 0.5),)
STAYS = ((900.0, 0.95), (1800.0, 0.05))
NAMES = ["people", "stay s", "most observed", "finish s"]
NAMES += [f"{name} {what} wait s" for name, *_ in STATIONS for what in ("mean", "longest")]
OURS = [0, 4, 5, 6, *range(7, 15)]  # the columns of ours that are compared
Play = Callable[[int, int], np.ndarray]


def compiled() -> Play:
    """Return what plays days with thawline's kernel, compiled or not as the process is."""
    from thawline.plan.flow import clinic_days

    day = _clinic_day()
    return lambda first, days: clinic_days(day, SEED, first, days).figures


def _clinic_day():
    from thawline.plan.chairs import Stay
    from thawline.plan.clinic_day import ClinicDay, ClinicStation
    from thawline.plan.quantile_tables import lognormal, normal

    def seconds(many: float) -> timedelta:
        return timedelta(seconds=many)

    stations = tuple(
        ClinicStation(name, lognormal(seconds(mean), variation), (servers,))
        for name, servers, mean, variation in STATIONS
    )
    stays = tuple(Stay(seconds(lasts), share) for lasts, share in STAYS)
    punctuality = normal(seconds(LATE_S), seconds(LATE_SD_S))
    return ClinicDay((BOOKED,) * SLOTS, seconds(SLOT_S), NO_SHOW, punctuality, stations, stays)


def in_c(library: Path) -> Play:
    """Return what plays days with the C file, on the tables of thawline."""
    from thawline.plan import flow

    day = _clinic_day()
    comers, laws, buckets = flow.comers(day), flow.laws(day), flow.buckets(day)
    servers = np.array([s.servers[0] for s in day.stations], dtype=np.float64)
    one, other = np.zeros(day.most_people + 99), np.zeros(day.most_people + 99)
    entry = ctypes.CDLL(str(library)).plain_days

    def told(value: object) -> object:
        if isinstance(value, np.ndarray):
            return ctypes.c_void_p(value.ctypes.data)
        return {float: ctypes.c_double, int: ctypes.c_int64}[type(value)](value)

    def play(first: int, days: int) -> np.ndarray:
        figures = np.zeros((days, 7 + 2 * len(STATIONS)))
        given = (
            SEED, first, days, comers[0], SLOTS, *comers[1:4], servers, laws[0], len(STATIONS),
            *laws[1:], buckets[0], buckets[1], len(buckets[1]), one, other, figures,
        )  # fmt: skip
        entry(*map(told, given))
        return figures

    return play


def arrivals(dice: object) -> list[float]:
    """Return when people come, in order, for the engines with numbers of their own."""
    came = [
        max(0.0, slot * SLOT_S + dice.gauss(LATE_S, LATE_SD_S))
        for slot in range(SLOTS)
        for _ in range(BOOKED)
        if dice.random() >= NO_SHOW
    ]
    return sorted(came)


def _lognormal(mean: float, variation: float) -> tuple[float, float]:
    square = math.log1p(variation**2)
    return math.log(mean) - square / 2, math.sqrt(square)


def in_simpy() -> Play:
    """Return what plays days as processes of SimPy."""
    from random import Random

    import simpy

    def one_day(number: int) -> list[float]:
        dice, env = Random(number), simpy.Environment()
        stations = [simpy.Resource(env, servers) for _, servers, *_ in STATIONS]
        laws = [_lognormal(mean, variation) for *_, mean, variation in STATIONS]
        waits: list[list[float]] = [[] for _ in STATIONS]
        stays, there, most = [], 0, 0

        def person(at: float):
            nonlocal there, most
            yield env.timeout(at)
            for station, law, waited in zip(stations, laws, waits, strict=True):
                came = env.now
                with station.request() as turn:
                    yield turn
                    waited.append(env.now - came)
                    yield env.timeout(dice.lognormvariate(*law))
            there += 1
            most = max(most, there)
            yield env.timeout(STAYS[dice.random() >= STAYS[0][1]][0])
            there -= 1
            stays.append(env.now - at)

        for at in arrivals(dice):
            env.process(person(at))
        env.run()
        ends = [f(w) for w in waits for f in (lambda w: sum(w) / len(w), max)]
        return [len(stays), sum(stays) / len(stays), most, env.now, *ends]

    return lambda first, days: np.array([one_day(first + d) for d in range(days)])


def in_ciw() -> Play:
    """Return what plays days as a network of Ciw."""
    from random import Random

    import ciw

    ends = len(STATIONS)

    def one_day(number: int) -> list[float]:
        ciw.seed(number)
        came = arrivals(Random(number))
        gaps = np.diff([0.0, *came]).tolist()
        network = ciw.create_network(
            arrival_distributions=[ciw.dists.Sequential([*gaps, math.inf]), *[None] * ends],
            service_distributions=[
                *[ciw.dists.Lognormal(*_lognormal(m, v)) for *_, m, v in STATIONS],
                ciw.dists.Pmf([lasts for lasts, _ in STAYS], [share for _, share in STAYS]),
            ],
            number_of_servers=[*[servers for _, servers, *_ in STATIONS], math.inf],
            routing=[[float(j == i + 1) for j in range(ends + 1)] for i in range(ends + 1)],
        )
        simulation = ciw.Simulation(network)
        simulation.simulate_until_max_customers(len(came), method="Finish")
        return _seen(simulation.get_all_records(), ends + 1)

    return lambda first, days: np.array([one_day(first + d) for d in range(days)])


def _seen(records: list, last: int) -> list[float]:
    """Return a day's figures from the records of Ciw."""
    waits = [[r.waiting_time for r in records if r.node == k] for k in range(1, last)]
    watched = [r for r in records if r.node == last]
    moves = [(r.arrival_date, 1) for r in watched] + [(r.exit_date, -1) for r in watched]
    doors = sum(r.arrival_date for r in records if r.node == 1)
    there = np.cumsum([step for _, step in sorted(moves)])
    left = [r.exit_date for r in watched]
    ends = [f(w) for w in waits for f in (lambda w: sum(w) / len(w), max)]
    return [len(left), (sum(left) - doors) / len(left), there.max(), max(left), *ends]


def worked(engine: str, first: int, days: int, folder: Path) -> None:
    """Play days in this process, save their figures and print the processor's time."""
    plays = {"C": lambda: in_c(folder / "flow_day.so"), "SimPy": in_simpy, "Ciw": in_ciw}
    play = plays.get(engine, compiled)()
    play(0, 1)
    start = process_time()
    figures = play(first, days)
    took = process_time() - start
    np.save(folder / f"{engine} {first}.npy", figures)
    print(json.dumps(took))


def _piece(engine: str, first: int, days: int, folder: Path) -> float:
    surroundings = {**os.environ, "NUMBA_DISABLE_JIT": str(int(engine == "plain Python"))}
    words = [sys.executable, __file__, engine, str(first), str(days), str(folder)]
    done = subprocess.run(words, env=surroundings, capture_output=True, check=True)  # noqa: S603
    return json.loads(done.stdout) / days


def measured(days: int, folder: Path) -> dict[str, tuple[float, np.ndarray]]:
    """Return of each engine the seconds a day, of the median turn, and the figures."""
    source = Path(__file__).with_name("flow_day.c")
    # For this processor, as Numba compiles: the harder one to be beside.
    words = ["cc", "-O3", "-march=native", "-ffp-contract=off", "-shared", "-fPIC", "-o"]
    subprocess.run([*words, str(folder / "flow_day.so"), str(source)], check=True)  # noqa: S603
    times: dict[str, list[float]] = {engine: [] for engine in SHARES}
    for turn in range(TURNS):
        for engine, share in SHARES.items():
            many = max(1, round(days * share / TURNS))
            if sys.stderr.isatty():
                print(f"turn {turn + 1} of {TURNS}: {engine} ...", file=sys.stderr)
            times[engine].append(_piece(engine, turn * many, many, folder))
    found = {}
    for engine, took in times.items():
        files = sorted(folder.glob(f"{engine} *.npy"), key=lambda f: int(f.stem.split()[-1]))
        found[engine] = (float(np.median(took)), np.concatenate([np.load(f) for f in files]))
    return found


def largest_z(ours: np.ndarray, theirs: np.ndarray) -> tuple[float, str]:
    """Return by how many standard errors the means differ most, and of which figure."""
    ours = ours[:, OURS]
    error = np.sqrt(ours.var(axis=0) / len(ours) + theirs.var(axis=0) / len(theirs))
    z = (theirs.mean(axis=0) - ours.mean(axis=0)) / error
    worst = int(np.argmax(np.abs(z)))
    return float(z[worst]), NAMES[worst]


def compared(days: int = DAYS) -> int:
    """Measure, print the table, and return 1 if a figure is missed."""
    with TemporaryDirectory() as folder:
        found = measured(days, Path(folder))
    ours_s, ours = found["compiled"]
    simpy_s = found["SimPy"][0]
    print("\none clinic day of 2,400 bookings; processor time, median of turns")
    print(f"{'engine':<14}{'days':>7}{'ms a day':>11}{'x SimPy':>10}  agreement with compiled")
    missed = 0
    for engine, (took, figures) in found.items():
        if engine in {"SimPy", "Ciw"}:
            z, name = largest_z(ours, figures)
            says, good = f"largest |z| of {len(NAMES)}: {z:+.2f}, {name}", abs(z) < MOST_Z
        else:
            good = np.array_equal(ours[: len(figures)], figures[: len(ours)])
            says = "equal bits" if good else "BITS DIFFER"
        missed |= not good
        print(
            f"{engine:<14}{len(figures):>7,}{took * 1000:>11.3f}{simpy_s / took:>10.1f}  {says}"
        )
    rows = [
        ("compiled beside SimPy", simpy_s / ours_s, HOLD_SIMPY),
        ("compiled beside Ciw", found["Ciw"][0] / ours_s, HOLD_CIW),
        ("C beside compiled", found["C"][0] / ours_s, 1 / HOLD_C),
        ("plain Python beside SimPy", simpy_s / found["plain Python"][0], HOLD_PLAIN),
    ]
    for what, ratio, least in rows:
        held = ratio >= least
        missed |= not held
        print(f"{what:<30}{ratio:>9.2f} x  to hold {least:.2f} x{'' if held else '  MISSED'}")
    return int(missed)


if __name__ == "__main__":
    if len(sys.argv) == 5:
        worked(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
    else:
        sys.exit(compared(*map(int, sys.argv[1:])))
