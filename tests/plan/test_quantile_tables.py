"""Tables of durations: their mean and spread are those of the law that was asked for."""

from datetime import timedelta

import numpy as np
import pytest
from scipy import stats
from tests.plan.draws import services

from thawline.base.compiled import passed, word
from thawline.base.errors import RecordError
from thawline.plan.quantile_tables import (
    POINTS,
    constant,
    exponential,
    lognormal,
    looked_up,
    measured,
    normal,
)

MEAN = timedelta(seconds=100)


def _exact(table):
    """Return mean and deviation of straight lines between quantiles, by quadrature."""
    middle, first, last = table.reshape(3, POINTS)
    values, weights = [], []
    for part, share in ((middle[1:-1], 2**-12), (first, 2**-24), (last, 2**-24)):
        for place in (0.5 - 12**-0.5, 0.5 + 12**-0.5):  # Gauss: exact for squares
            values.append(part[:-1] + place * np.diff(part))
            weights.append(np.full(len(part) - 1, share / 2))
    values, weights = np.concatenate(values), np.concatenate(weights)
    mean = weights @ values
    return mean, (weights @ (values - mean) ** 2) ** 0.5


@pytest.mark.parametrize("variation", [0.1, 0.5, 0.6, 1.0, 1.5])
def test_a_lognormal_table_has_the_mean_and_spread_asked_for(variation):
    mean, deviation = _exact(lognormal(MEAN, variation).table)

    assert mean == pytest.approx(100, rel=3e-5)
    assert deviation == pytest.approx(100 * variation, rel=3e-4)


def test_an_exponential_table_has_the_mean_and_spread_of_its_law():
    mean, deviation = _exact(exponential(MEAN).table)

    assert mean == pytest.approx(100, rel=3e-5)
    assert deviation == pytest.approx(100, rel=3e-4)


def test_a_normal_table_has_the_mean_and_spread_of_its_law():
    mean, deviation = _exact(normal(timedelta(minutes=-5), timedelta(minutes=8)).table)

    assert mean == pytest.approx(-300, rel=3e-5)
    assert deviation == pytest.approx(480, rel=3e-4)


@pytest.mark.parametrize("share", [1e-6, 1e-4, 0.03, 0.5, 0.97, 0.9999, 0.999999])
def test_each_level_of_the_table_gives_the_quantile(share):
    """Against SciPy's lognormal law; in the outermost steps lines stand for a steep curve."""
    sigma = np.log1p(0.6**2) ** 0.5
    exact = stats.lognorm.ppf(share, sigma, scale=100 * np.exp(-(sigma**2) / 2))
    found = looked_up(passed(lognormal(MEAN, 0.6).table), word(int(share * 2**64)))

    assert found == pytest.approx(exact, rel=4e-3)


def test_draws_have_the_law_of_the_table():
    """Kolmogorov's test against SciPy's lognormal law; p above one in ten thousand."""
    sigma = np.log1p(0.25) ** 0.5
    draws = services(lognormal(MEAN, 0.5), 20_000, 5, 0, 0)
    law = stats.lognorm(sigma, scale=100 * np.exp(-(sigma**2) / 2))

    assert stats.kstest(draws, law.cdf).pvalue > 1e-4


def test_no_duration_is_below_nothing():
    laws = [lognormal(MEAN, 1.5), exponential(MEAN), measured([MEAN, MEAN * 3])]

    assert min(law.table.min() for law in laws) >= 0


def test_measured_durations_keep_their_mean_and_lose_little_of_their_spread():
    seconds = [60, 75, 90, 92, 95, 110, 140, 300]
    mean, deviation = _exact(measured([timedelta(seconds=s) for s in seconds]).table)

    assert mean == pytest.approx(120.25, rel=3e-5)
    assert 0.85 * np.std(seconds) < deviation < np.std(seconds)


def test_what_always_takes_as_long_takes_exactly_as_long():
    assert set(services(constant(MEAN), 50, 1, 0, 0)) == {100.0}
    assert set(services(lognormal(MEAN, 0), 50, 1, 0, 0)) == {100.0}
    assert set(services(normal(-MEAN, timedelta(0)), 50, 1, 0, 0)) == {-100.0}


@pytest.mark.parametrize(
    ("law", "says"),
    [
        (lambda: lognormal(timedelta(0), 0.5), "takes 0 s"),
        (lambda: lognormal(MEAN, -0.1), "a variation of -0.1"),
        (lambda: lognormal(MEAN, 1.6), "a variation of 1.6"),
        (lambda: lognormal(MEAN, float("nan")), "a variation of nan"),
        (lambda: exponential(-MEAN), "takes -100 s"),
        (lambda: constant(timedelta(0)), "takes 0 s"),
        (lambda: normal(MEAN, -MEAN), "a deviation of -100 s"),
        (lambda: measured([]), "no durations"),
        (lambda: measured([MEAN, timedelta(0)]), "takes 0 s"),
    ],
)
def test_laws_that_cannot_be_are_refused(law, says):
    with pytest.raises(RecordError, match=says):
        law()
