"""A zone as a table agrees with asking the zone, for every zone that the machine knows."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
import pytest

from thawline.exchange.loggers.local_times import Doubt, local_times

HOUR_MS = 3_600_000
EPOCH = datetime(1970, 1, 1)


def looked_up(times, local):
    at = (local - EPOCH) // timedelta(milliseconds=1)
    place = int(np.searchsorted(times.from_ms, at, side="right")) - 1
    return Doubt(times.doubt[place]), int(times.offset_ms[place])


@pytest.mark.parametrize(
    ("local", "doubt"),
    [
        ((2026, 3, 8, 1, 59, 59), Doubt.NONE),
        ((2026, 3, 8, 2), Doubt.NEVER),
        ((2026, 3, 8, 2, 59, 59), Doubt.NEVER),
        ((2026, 3, 8, 3), Doubt.NONE),
        ((2026, 11, 1, 0, 59, 59), Doubt.NONE),
        ((2026, 11, 1, 1), Doubt.TWICE),
        ((2026, 11, 1, 1, 59, 59), Doubt.TWICE),
        ((2026, 11, 1, 2), Doubt.NONE),
        ((1999, 12, 31, 17, 59, 59), Doubt.FAR_AWAY),
        ((2050, 1, 1), Doubt.FAR_AWAY),
    ],
)
def test_the_hours_around_a_change_of_the_clocks(local, doubt):
    assert looked_up(local_times(ZoneInfo("America/Chicago")), datetime(*local))[0] is doubt


def test_offsets_before_and_after_a_change():
    times = local_times(ZoneInfo("America/Chicago"))

    assert looked_up(times, datetime(2026, 3, 8, 1)) == (Doubt.NONE, -6 * HOUR_MS)
    assert looked_up(times, datetime(2026, 3, 8, 3)) == (Doubt.NONE, -5 * HOUR_MS)


def test_a_fixed_offset_has_no_doubts_in_its_years():
    assert local_times(UTC).doubt.tolist() == [Doubt.FAR_AWAY, Doubt.NONE, Doubt.FAR_AWAY]


def asked(zone, local):
    """Ask the zone itself, both ways round a change."""
    first, second = (zone.utcoffset(local.replace(fold=fold)) for fold in (0, 1))
    if first == second:
        return Doubt.NONE, first // timedelta(milliseconds=1)
    return (Doubt.TWICE if first > second else Doubt.NEVER), 0


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(available_timezones()))
def test_every_zone_agrees_around_its_changes_and_in_between(name):
    zone = ZoneInfo(name)
    times = local_times(zone, 2009, 2016)
    hours = [datetime(2009, 1, 2) + timedelta(hours=hour) for hour in range(0, 69_000, 97)]
    edges = [EPOCH + timedelta(milliseconds=edge) for edge in times.from_ms[2:-1].tolist()]
    near = [edge + timedelta(seconds=shift) for edge in edges for shift in (-1, 0, 1)]

    odd = [local for local in hours + near if looked_up(times, local) != asked(zone, local)]

    assert not odd
