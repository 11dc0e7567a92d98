"""What the front desk sees of somebody before a word is said. All invented."""

from datetime import date

import pytest
from tests.app.chairs import FEN, MARSH, book, card
from tests.cast import a_day, at

from thawline.app.front_desk import at_desk, last_edition
from thawline.app.meeting import Heard, hear
from thawline.app.ports import Name
from thawline.base.errors import NotFoundError, RecordError


@pytest.fixture
def day():
    """Two people booked, met, and both said yes to information of 15 January."""
    day = a_day(vials=0)
    book(day, MARSH, FEN, needs="wheelchair")
    return day


def _seen(day, person=MARSH):
    with day.site.ledger.view() as view:
        return at_desk(day.site, view, person, at("10:00"))


def test_a_person_with_no_dose_comes_for_the_first(day):
    seen = _seen(day)
    assert (seen.dose_number, seen.to_come, seen.too_early) == (1, None, False)
    assert (seen.needs, seen.language, seen.later) == ("wheelchair", "", ())
    assert (seen.met.agreed, seen.said.answer, seen.sent) == (("name", "born"), "yes", None)


def test_the_first_day_of_a_second_dose_is_28_days_later(day):
    # 28 days after 7 January are 4 February; the Tuesday is 3 February.
    card(day, "2026-01-07")
    seen = _seen(day)
    assert (seen.dose_number, seen.too_early) == (2, True)
    assert seen.to_come.due == date(2026, 2, 4)


def test_on_that_day_it_is_not_too_early(day):
    card(day, "2026-01-06")
    assert not _seen(day).too_early


def test_the_edition_given_last_is_offered_again(day):
    with day.site.ledger.view() as view:
        assert last_edition(view) == "2026-01-15"
    empty = a_day(vials=0)
    with empty.site.ledger.view() as view:
        assert last_edition(view) == ""


def test_a_code_that_nobody_has_is_said(day):
    with pytest.raises(NotFoundError, match="P-999999"):
        _seen(day, "P-999999")


def test_one_identifier_cannot_both_agree_and_differ(day):
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-02-03"))
    with pytest.raises(RecordError, match="both agrees and differs"):
        hear(day.site, day.doing("10:00"), MARSH, Heard(("name",), ("name",)))
