"""Who works here is read once, and anew at the very next request after a change of it."""

from datetime import date

import pytest
from django.db import connection, transaction
from django.db.models import F
from django.test.utils import CaptureQueriesContext
from tests.cast import ROWAN

from thawline.base.roles import Role
from thawline.web.staff.glass import break_glass, broken, end_glass, reason_of
from thawline.web.staff.models import SignOff, Staff
from thawline.web.staff.sign_offs import current_roles

LEAD = {Role.CLINICAL_LEAD}


@pytest.fixture
def rowan(hall) -> Staff:
    return hall.employ(ROWAN, Role.CLINICAL_LEAD)


def test_a_page_that_looks_again_asks_nothing_about_who_works_here(hall):
    browser = hall.browser(ROWAN, Role.CLINICAL_LEAD)
    hall.get(browser, "/today")
    with CaptureQueriesContext(
        connection,
    ) as asked:
        hall.get(browser, "/today")
    assert [each["sql"] for each in asked if "staff_" in each["sql"]] == []


def test_a_sign_off_that_ends_ends_at_the_next_request(hall):
    browser = hall.browser(ROWAN, Role.CLINICAL_LEAD)
    assert hall.get(browser, "/today").status_code == 200
    SignOff.objects.filter(staff__name=ROWAN).update(until=date(2026, 2, 2))
    assert hall.get(browser, "/today").status_code == 403


def test_a_sign_off_ends_with_its_day_though_no_row_changes(hall):
    browser = hall.browser()
    hall.employ(ROWAN, Role.CLINICAL_LEAD, until=date(2026, 2, 3))
    assert current_roles(Staff.objects.get(name=ROWAN)) == LEAD
    hall.clock("00:00", day=4)
    assert current_roles(Staff.objects.get(name=ROWAN)) == set()
    assert hall.get(browser, "/today").status_code == 302


@pytest.mark.parametrize(
    "change", [{"is_active": False}, {"sessions_ended": F("sessions_ended") + 1}]
)
def test_whoever_is_put_out_is_out_at_the_next_request(hall, change):
    browser = hall.browser(ROWAN, Role.CLINICAL_LEAD)
    assert hall.get(browser, "/today").status_code == 200
    Staff.objects.filter(name=ROWAN).update(**change)
    assert hall.get(browser, "/today").url == "/door?next=/today"


def test_a_glass_is_broken_and_whole_again_at_once(rowan):
    assert (reason_of(rowan), broken()) == ("", [])
    break_glass(rowan, "fire in the hall")
    assert (reason_of(rowan), broken()[0].by) == ("fire in the hall", ROWAN)
    end_glass(rowan)
    assert (reason_of(rowan), broken()) == ("", [])


def test_what_is_taken_back_was_never_kept(rowan):
    assert current_roles(rowan) == LEAD
    with transaction.atomic():
        SignOff.objects.filter(staff=rowan).delete()
        assert current_roles(rowan) == set()
        transaction.set_rollback(True)
    assert current_roles(rowan) == LEAD


def test_what_is_written_for_good_counts_from_then_on(rowan):
    assert current_roles(rowan) == LEAD
    with transaction.atomic():
        SignOff.objects.filter(staff=rowan).delete()
    assert current_roles(rowan) == set()


def test_two_requests_do_not_share_one_row(rowan):
    from thawline.web.staff.known import KnownPeople  # noqa: PLC0415  after the settings

    one, other = (KnownPeople().get_user(rowan.pk) for _ in range(2))
    one.name = "somebody else"
    assert other.name == ROWAN
