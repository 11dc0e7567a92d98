"""The record beside played days: what fits, and where it does not; made up."""

import numpy as np
import pytest
from tests.cast import at
from tests.plan.clinic_days import minutes

from thawline.plan.day_record import Visit, recorded
from thawline.plan.replay import Replays
from thawline.plan.replay_fit import fit
from thawline.plan.replay_kernel import (
    BY_TIME,
    FIGURES,
    LAST_S,
    LONGEST_S,
    PEOPLE,
    WAIT_S,
    WAITS_S,
)

MINUTE = 60


def _record(wait, last="08:10"):
    """Return one person in line at 08:00 who waited so many minutes."""
    seated = minutes(wait) + at("08:00")
    visit = Visit("1", screened=at("08:00"), seated=seated, chair="c", dosed=at(last))
    return recorded([visit], minutes(0), at("08:00"), 2)


def _played(*waits_min, people=1):
    """Return days with these mean waits, all in the first half hour, over at 08:10."""
    figures = np.zeros((len(waits_min), FIGURES))
    figures[:, WAIT_S] = figures[:, LONGEST_S] = np.array(waits_min) * MINUTE
    figures[:, LAST_S] = 10 * MINUTE
    by_time = np.zeros((len(waits_min), 2, BY_TIME))
    by_time[:, 0, PEOPLE] = people
    by_time[:, 0, WAITS_S] = figures[:, WAIT_S] * people
    return Replays(1, 0, figures, by_time)


def _fit(record, played):
    return fit(record, at("08:00"), (2, 10), played, minutes(20))


@pytest.mark.parametrize(
    ("wait", "fits"),
    [(4, True), (3, True), (2.9, False), (6, True), (6.1, False)],
    ids=["inside", "a minute below", "further below", "a minute above", "further above"],
)
def test_a_wait_fits_within_a_minute_of_what_the_days_give(wait, fits):
    """All simulated days give waits of 4 to 5 minutes, as good as all of them the ends."""
    found = _fit(_record(wait), _played(*[4] * 500, *[5] * 500))

    assert found.figures["mean_wait_s"].fits is fits
    assert ("mean_wait_s" in found.off) is not fits
    assert (found.off_halves == (at("08:00"),)) is not fits


def test_the_range_leaves_out_the_ends_that_are_rarer_than_five_in_a_hundred():
    """1,000 days at 0.1 to 100 minutes: by NumPy's quantiles 2.6 to 97.5."""
    found = _fit(_record(50), _played(*np.arange(1, 1001) / 10)).figures["mean_wait_s"]

    assert (found.low, found.high) == pytest.approx((2.5975 * 60, 97.5025 * 60))


def test_an_end_that_is_too_late_does_not_fit():
    found = _fit(_record(4, last="08:12"), _played(4, 4))

    assert found.off == ("last_dose_s",)
    assert found.figures["last_dose_s"].recorded == 12 * MINUTE
    assert not found.off_halves


def test_vials_and_doses_left_over_are_shown_and_not_held_against_each_other():
    """Two vials of ten opened, one dose given."""
    found = _fit(_record(4), _played(4, 4)).figures

    assert (found["vials_opened"].recorded, found["doses_left"].recorded) == (2, 19)
    assert found["vials_opened"].fits is found["doses_left"].fits is None


def test_what_nobody_stamped_is_not_known():
    visit = Visit("1", seated=at("08:00"), chair="c", dosed=at("08:10"))
    found = _fit(recorded([visit], minutes(0), at("08:00"), 2), _played(4, 4))

    waits = [
        found.figures[name].recorded
        for name in ("mean_wait_s", "longest_wait_s", "over_promise")
    ]
    assert waits == [None, None, None]
    assert (found.halves[0].wait_s.recorded, found.halves[0].wait_s.fits) == (None, None)
    assert found.off == found.off_halves == ()


def test_a_day_without_doses_has_no_end_to_compare():
    found = _fit(
        recorded([Visit("1", booked=at("08:00"))], minutes(0), at("08:00"), 2), _played(1)
    )

    assert found.figures["last_dose_s"].recorded is None


def test_a_half_hour_without_people_on_some_days_is_not_compared():
    played = _played(4, 4)
    played.by_time[0, 0, PEOPLE] = 0

    assert _fit(_record(4), played).halves[0].wait_s is None
