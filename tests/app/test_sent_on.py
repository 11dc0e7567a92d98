"""Sending somebody to the clinical lead with a numbered slip. All invented."""

import pytest
from tests.app.chairs import FEN, MARSH, book
from tests.cast import ROWAN, a_day

from thawline.app.sent_on import send_on
from thawline.base.errors import NotFoundError, RecordError


@pytest.fixture
def day():
    """Two people booked."""
    day = a_day(vials=0)
    book(day, MARSH, FEN)
    return day


def _sent(day, person, about="identity", clock="08:55", **more):
    return send_on(day.site, day.doing(clock, by=ROWAN, **more), person, about).event.slip


def test_slips_are_numbered_through_the_day_whoever_they_are_for(day):
    assert [_sent(day, MARSH), _sent(day, FEN), _sent(day, MARSH)] == [1, 2, 3]


def test_the_next_day_begins_with_slip_one(day):
    _sent(day, MARSH)
    day.now = day.now.replace(day=4)
    assert send_on(day.site, day.doing(by=ROWAN), FEN, "other").event.slip == 1


def test_no_word_about_health_is_kept_but_the_known_ones(day):
    with pytest.raises(RecordError, match="asthma"):
        _sent(day, MARSH, "asthma")


def test_nobody_unknown_is_sent_on(day):
    with pytest.raises(NotFoundError):
        _sent(day, "P-999999")
