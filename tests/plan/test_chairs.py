"""Chairs for those who stay: beside SciPy's Poisson law, figures made up."""

from datetime import timedelta

import pytest
from scipy.stats import poisson

from thawline.base.errors import RecordError
from thawline.plan.chairs import Stay, chairs_for, read_stays


def test_stays_are_read_as_they_are_written():
    assert read_stays("15 min 95 %, 30 min 5%") == (
        Stay(timedelta(minutes=15), 0.95),
        Stay(timedelta(minutes=30), 0.05),
    )


@pytest.mark.parametrize(
    "text", ["15 min", "15 95 %", "", "15 min 95 %", "15 min 60 %, 9 min 50 %"]
)
def test_stays_that_leave_a_doubt_are_refused(text):
    with pytest.raises(RecordError):
        read_stays(text)


@pytest.mark.parametrize("per_hour", [1, 37, 400, 9000])
@pytest.mark.parametrize("cover", [0.2, 0.5, 0.95, 0.9999])
def test_the_chairs_are_the_quantile_of_poissons_law(per_hour, cover):
    found = chairs_for(per_hour, [Stay(timedelta(minutes=20), 1.0)], cover)

    assert found.chairs == poisson.ppf(cover, per_hour / 3)


@pytest.mark.parametrize(
    ("per_hour", "cover"), [(0, 0.9), (-3, 0.9), (10, 0), (10, 1), (1e9, 0.9)]
)
def test_what_cannot_be_is_refused(per_hour, cover):
    with pytest.raises(RecordError):
        chairs_for(per_hour, [Stay(timedelta(minutes=20), 1.0)], cover)
