"""
Waiting lines whose long run is known from theory, played by the kernel of the clinic day.

Arrivals are NumPy's, services come from the tables. Expected values are those of the textbooks'
formulas (Erlang; Pollaczek and Khinchine; the root of D/M/1; Burke for the tandem; Poisson's
law of the infinite-server line) as worked out in the project's methods table, sections A3 to
A5, by other programs; the formulas themselves are from memory. A simulation is held to four
standard errors of its batches.
"""

from datetime import timedelta

import numpy as np
import pytest
from tests.plan.draws import by_comparing, by_search, state

from thawline.base.compiled import passed
from thawline.plan.flow_kernel import observed, served_by_few
from thawline.plan.quantile_tables import constant, exponential, lognormal

SECOND = timedelta(seconds=1)
BATCHES = 20


def _z(batches, expected):
    batches = np.array(batches)
    return (batches.mean() - expected) / (batches.std(ddof=1) / len(batches) ** 0.5)


def _waits(way, servers, load, law, many=200_000, gaps="exponential"):
    """Return the mean wait of each batch, services of mean 1, so many busy on average."""
    found = []
    for batch in range(BATCHES):
        dice = np.random.default_rng((19, batch))
        apart = (
            dice.exponential(1 / load, many)
            if gaps == "exponential"
            else np.full(many, 1 / load)
        )
        total, *_ = way(np.cumsum(apart), servers, law, batch)
        found.append(total / many)
    return found


@pytest.mark.parametrize(
    ("law", "in_line"),
    [
        (constant(SECOND), 1.6),
        (lognormal(SECOND, 0.5), 2.0),
        (exponential(SECOND), 3.2),
    ],
    ids=["constant", "half as variable", "exponential"],
)
def test_pollaczek_and_khinchine_at_one_server(law, in_line):
    """Load 0.8: people in line 1.6, 2.0, 3.2; the wait is that over people a second."""
    assert abs(_z(_waits(by_comparing, 1, 0.8, law), in_line / 0.8)) < 4


@pytest.mark.parametrize(("load", "wait"), [(0.5, 0.255001), (0.8, 1.692731)])
def test_people_at_even_intervals_and_exponential_service(load, wait):
    """D/M/1: sigma / (1 - sigma) with sigma = exp(-(1 - sigma) / load)."""
    found = _waits(by_comparing, 1, load, exponential(SECOND), gaps="even")

    assert abs(_z(found, wait)) < 4


@pytest.mark.parametrize(
    ("servers", "load", "wait"),
    [(10, 8, 0.409180 / 2), (13, 10, 0.285270 / 3), (50, 40, 0.086953 / 10)],
)
@pytest.mark.parametrize("way", [by_search, by_comparing])
def test_erlangs_waits_at_many_servers(way, servers, load, wait):
    """M/M/c: the chance of waiting, printed to six digits, over the spare servers."""
    assert abs(_z(_waits(way, servers, load, exponential(SECOND)), wait)) < 4


TANDEM = ((4, 45, 14.9978), (8, 100, 20.8363), (6, 75, 24.2434), (12, 150, 15.9614))


def test_burkes_tandem_of_exponential_stations():
    """2,208 people in ten hours pass four stations; each waits as if it stood alone."""
    many, waits = 100_000, []
    for batch in range(BATCHES):
        dice = np.random.default_rng((23, batch))
        here, skip, row = np.cumsum(dice.exponential(36_000 / 2208, many)), 0, []
        for k, (servers, mean, _) in enumerate(TANDEM):
            law = passed(exponential(mean * SECOND).table)
            left, window = np.zeros(many + servers), np.zeros(servers + 1)
            total, _ = served_by_few(
                here, skip, many, servers, law, state(5, batch, k), left, window
            )
            row.append(total / many)
            here, skip = left, servers
        waits.append(row)
    zs = [
        _z(batches, wait) for batches, (*_, wait) in zip(np.array(waits).T, TANDEM, strict=True)
    ]

    assert max(map(abs, zs)) < 4


@pytest.mark.parametrize(
    ("servers", "load", "approximately"), [(10, 8, 0.127869), (4, 2.76, 0.208303)]
)
def test_allen_and_cunneens_approximation_is_in_the_same_region(servers, load, approximately):
    """A sanity band only, 15 %: the formula is no truth to hold a simulation to."""
    found = np.mean(_waits(by_comparing, servers, load, lognormal(SECOND, 0.5)))

    assert found == pytest.approx(approximately, rel=0.15)


def test_the_observation_area_holds_as_many_as_poissons_law_says():
    """240 an hour for 15 minutes: mean and variance 60; 79 chairs are enough at 99 in 100."""
    apart, counts = 3_600, []
    for batch in range(200):
        dice = np.random.default_rng((29, batch))
        came = np.sort(dice.uniform(0, 40_000, dice.poisson(40_000 / 15)))
        left = np.zeros(len(came))
        observed(
            came, 0, len(came), np.array([900.0]), np.array([1.0]), state(1, batch, 2), left
        )
        at = np.arange(apart, 40_000, apart)
        counts += (np.searchsorted(came, at) - np.searchsorted(left, at)).tolist()
    counts = np.array(counts)

    assert abs(_z(counts, 60)) < 4
    assert counts.var() == pytest.approx(60, rel=4 * (2 / len(counts)) ** 0.5)
    assert np.mean(counts <= 79) == pytest.approx(0.99, abs=4 * (0.01 / len(counts)) ** 0.5)


def test_stays_are_shared_out_as_said():
    """95 % stay 15 minutes, 5 % 30: the mean is 15.75 minutes, four standard errors."""
    many = 200_000
    came, left = np.arange(many) * 1e3, np.zeros(many)
    stays, upto = np.array([900.0, 1800.0]), np.array([0.95, 1.0])
    total, _ = observed(came, 0, many, stays, upto, state(3, 0, 2), left)

    spread = 900 * (0.05 * 0.95 / many) ** 0.5
    assert abs((total - came.sum()) / many - 945) < 4 * spread
