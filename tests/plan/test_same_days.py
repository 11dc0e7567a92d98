"""Many staffings on the same days, held against the days of each one played alone; made up."""

import numpy as np
import pytest
from tests.plan.clinic_days import busy_day, day, minutes, seconds, special_day, station

from thawline.base.errors import RecordError
from thawline.plan.clinic_day import ClinicStation
from thawline.plan.flow import followed_days
from thawline.plan.general_flow_kernel import LATE, PEOPLE
from thawline.plan.quantile_tables import lognormal
from thawline.plan.same_days import late_by_staffing, staffed

FIVE = minutes(5)
STAFFINGS = (
    ((2, 2, 3), (3, 4, 2), (4, 4, 5)),
    ((2, 2, 3), (3, 4, 2), (5,)),
    ((3,), (3, 4, 2), (4, 0, 4)),
    ((2, 2, 3), (3, 4, 2), (4, 4, 5)),
)


def alone(clinic, staffing, first, days):
    """Return who came and who waited too long, from the days of this staffing by itself."""
    outcome = followed_days(staffed(clinic, staffing), 9, (first, days), FIVE)
    return outcome.by_time[:, -1, :, PEOPLE], outcome.by_time[:, -1, :, LATE]


def test_each_staffing_has_the_bits_that_it_has_alone():
    clinic = busy_day()

    found = late_by_staffing(clinic, STAFFINGS, 9, (3, 4), FIVE)

    for number, staffing in enumerate(STAFFINGS):
        came, late = alone(clinic, staffing, 3, 4)
        assert np.array_equal(found.came, came)
        assert np.array_equal(found.late[number], late)
    assert found.late.sum() > 0


def test_groups_and_five_stations_are_played_too():
    briefing = ClinicStation("briefing", lognormal(seconds(120), 0.5), (2,), 6, minutes(3))
    clinic = busy_day(
        stations=(briefing, *busy_day().stations, station(1, name="card")),
    )
    staffings = [((2,), (2,), (3,), (4, 3), (20,)), ((3,), (2,), (3,), (4, 3), (20,))]

    found = late_by_staffing(clinic, staffings, 9, (0, 3), FIVE)

    for number, staffing in enumerate(staffings):
        assert np.array_equal(found.late[number], alone(clinic, staffing, 0, 3)[1])


def test_days_may_be_played_in_parts():
    clinic = busy_day()
    whole = late_by_staffing(clinic, STAFFINGS, 9, (0, 4), FIVE)

    parts = [late_by_staffing(clinic, STAFFINGS[1:3], 9, (d, 2), FIVE) for d in (0, 2)]

    assert np.array_equal(np.concatenate([p.late for p in parts], axis=1), whole.late[1:3])


def test_by_hand_the_second_of_two_waits_a_whole_turn():
    # Two people come at opening, a turn takes ten minutes: one waits ten, more than five.
    found = late_by_staffing(day([2]), [((1,),), ((2,),)], 0, (0, 1), FIVE)

    assert found.came[0, 0] == 2
    assert found.late[:, 0, 0].tolist() == [1, 0]


def test_a_wait_as_long_as_promised_is_not_longer():
    found = late_by_staffing(day([2]), [((1,),)], 0, (0, 1), minutes(10))

    assert found.late.sum() == 0


def test_doses_that_may_run_out_are_refused():
    with pytest.raises(RecordError, match="a dose for everybody"):
        late_by_staffing(special_day(), [((1,),) * 4], 0, (0, 1), FIVE)
