"""
Bookings gathered in vial-sized clusters, against F2 and A6 of the project's methods.

F2, read on 2026-11-27, computed there by another program: ten booked, 15 % stay away, spread
over ten hours 11.48 doses wasted, inside five hours 1.50; twelve inside five hours 4.23.
"""

from datetime import timedelta

import pytest

from thawline.base.errors import RecordError
from thawline.base.instants import Instant, read_instant
from thawline.plan.clusters import gathered, one_vial, wasted

EIGHT = read_instant("2026-02-04T08:00:00-06:00")
LIFE = timedelta(hours=6)


def _at(*minutes):
    return [Instant(EIGHT + timedelta(minutes=each)) for each in minutes]


def _spread(count, hours):
    """Places as the table spreads them: so many by the end of each slot of ten minutes."""
    slots = 6 * hours
    ends = [count * slot // slots for slot in range(slots + 1)]
    return _at(
        *(10 * slot for slot in range(slots) for _ in range(ends[slot + 1] - ends[slot]))
    )


@pytest.mark.parametrize(
    ("count", "hours", "printed"), [(10, 10, 11.48), (10, 5, 1.50), (12, 5, 4.23)]
)
def test_the_same_people_waste_less_inside_one_vials_life(count, hours, printed):
    found = wasted(_spread(count, hours), 0.15, 10, LIFE)

    assert found == pytest.approx(printed, abs=5e-3)


def test_ten_over_ten_hours_are_gathered_for_one_vial():
    found = gathered(_spread(10, 10), 0.15, 10, LIFE)

    (cluster,) = found.clusters
    assert len(cluster.staying) + len(cluster.moving) == 10
    assert cluster.last - cluster.first <= LIFE - timedelta(minutes=10)
    assert found.wasted_as_booked == pytest.approx(11.48, abs=5e-3)
    # 10 doses less 8.5 people, and no vial at all on the day that nobody comes
    assert found.wasted_gathered == pytest.approx(1.5 - 10 * 0.15**10, abs=1e-12)


def test_the_fullest_hours_stay_and_the_nearest_others_move_in():
    places = _at(0, 10, 20, 600, 610)
    found = gathered(places, 0.0, 4, LIFE)

    first, second = found.clusters
    assert (len(first.staying), first.moving) == (3, ())
    assert (len(second.staying), second.moving) == (2, ())
    assert found.moved == 0


def test_a_lone_place_far_away_moves_to_the_others():
    found = gathered(_at(0, 10, 20, 600), 0.0, 4, LIFE)

    assert found.clusters[0].moving == tuple(_at(600))
    assert (found.wasted_as_booked, found.wasted_gathered) == pytest.approx((4, 0))


def test_nobody_is_lost_and_no_cluster_holds_more_than_a_vial():
    places = _at(*range(0, 600, 25))
    found = gathered(places, 0.1, 10, LIFE)

    sizes = [len(each.staying) + len(each.moving) for each in found.clusters]
    assert sum(sizes) == len(places) == 24
    assert max(sizes) <= 10
    assert len(sizes) == 3


def test_one_vial_and_so_many_booked_is_the_printed_table():
    found = one_vial(10, 0.15, more=2)

    assert [each.booked for each in found] == [10, 11, 12]
    wasted_doses = [each.expected_wasted for each in found]
    assert wasted_doses == pytest.approx([1.5, 0.8173, 0.3857], abs=5e-5)
    away = [each.expected_turned_away for each in found]
    assert away == pytest.approx([0, 0.1673, 0.5857], abs=5e-5)


@pytest.mark.parametrize(
    ("places", "life"), [([], LIFE), (_at(0), timedelta(minutes=10)), (_at(*range(601)), LIFE)]
)
def test_no_places_too_many_or_a_vial_that_hardly_lasts_are_refused(places, life):
    with pytest.raises(RecordError, match="places"):
        gathered(places, 0.1, 10, life)
