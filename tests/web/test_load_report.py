"""A run of the load fails where what was promised at the asked rate was not kept."""

from collections import Counter

import pytest
from tests.web.load_report import Part, report


def part(slow: int = 0, told: int = 0, *, is_promised: bool = True) -> Part:
    """Return a minute with a hundred answers, so many of them slow and so many told 503."""
    times = {"a page": [0.05] * (100 - slow) + [0.2] * slow}
    statuses = Counter({200: 100 - told, 503: told})
    return Part("As asked", 60, 120, 60, 30, times, statuses, 9, 0, 0, [], is_promised)


def test_a_minute_within_its_bounds_is_kept():
    assert not part().has_failed
    assert "Kept." in report([part()], [0.1] * 100, (1, 1, 0, 0, 28))


@pytest.mark.parametrize(
    ("slow", "told", "says"),
    [(2, 0, "99 % took 200.0 ms, not 100"), (0, 1, "1 were told 503, not 0")],
)
def test_a_late_hundredth_or_one_who_was_sent_away_fails_it(slow, told, says):
    found = part(slow, told)
    assert found.has_failed
    assert f"**Missed**: {says}." in report([found], [0.1] * 100, (1, 1, 0, 0, 28))


def test_of_the_overload_only_that_nothing_is_lost_is_asked():
    assert not part(50, 40, is_promised=False).has_failed
