"""Last vial and Replay: what is asked, what is said while it is worked out, what fails."""

from datetime import time

import pytest
from tests.cast import HAZEL, ROWAN
from tests.web.hall import text
from tests.web.test_jobs import over

from thawline.base.errors import RecordError
from thawline.base.roles import Role
from thawline.web import jobs
from thawline.web.words import read_clock


def lead(hall):
    return hall.browser(ROWAN, Role.SITE_LEAD)


def done(hall, browser, path: str, **asked) -> str:
    """Return a page once its work is over."""
    hall.get(browser, path, data=asked)
    over(jobs.Job())
    return text(hall.get(browser, path, data=asked))


def test_the_price_of_a_person_is_asked_for_and_never_guessed(hall):
    page = text(hall.get(lead(hall), "/last-vial"))
    assert "is your judgment, in doses" in page
    assert "doses in hand" not in page


def test_a_price_that_is_no_number_is_named(hall):
    answer = hall.get(lead(hall), "/last-vial", data={"person": "much"})
    assert answer.status_code == 422
    assert "is no number from 0 to 1000" in text(answer)


def test_a_site_without_bookings_is_told_why_there_is_no_advice(hall):
    page = done(hall, lead(hall), "/last-vial", person="10", no_show="8")
    assert "No advice: " in page


def test_a_replay_of_a_day_without_a_record_says_so(hall):
    page = done(hall, lead(hall), "/replay", change="table", since="11:30")
    assert "Play the day with this change" in page
    assert "2026-02-03" in page


@pytest.mark.parametrize("asked", [{"number": "many"}, {"since": "half past"}])
def test_what_is_no_number_and_no_time_is_not_played(hall, asked):
    answer = hall.get(lead(hall), "/replay", data={"change": "people", **asked})
    assert answer.status_code == 422


def test_a_preparer_has_neither_screen(hall):
    browser = hall.browser(HAZEL, Role.PREPARER)
    assert hall.get(browser, "/last-vial").status_code == 403
    assert hall.get(browser, "/replay").status_code == 403


@pytest.mark.parametrize("typed", ["16:30", "1630", "16.30"])
def test_a_time_of_day_is_typed_as_people_type_it(typed):
    assert read_clock(typed) == time(16, 30)


@pytest.mark.parametrize("typed", ["24:00", "4pm", "16:60", ""])
def test_what_is_no_time_of_day_is_refused(typed):
    with pytest.raises(RecordError, match="is no time of day"):
        read_clock(typed)
