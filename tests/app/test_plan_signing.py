"""Two people sign the plan that they looked at. Everybody comes; 8 doses a vial (made up)."""

from datetime import date

import pytest
from tests.app.test_plans import _book
from tests.cast import BRYONY, SORREL, a_day, at, with_second

from thawline.app.plan_signing import LookedAt, sign_plan
from thawline.app.plans import Ask
from thawline.base.errors import RecordError, SecondPersonError
from thawline.ledger.plan_events import PlanSigned
from thawline.plan.no_show import by_hand
from thawline.thaw.signed import SIGNED_PLAN

TUESDAY = date(2026, 2, 3)


def booked(day, count: int = 17) -> Ask:
    """Book so many people for nine o'clock; return what is asked of the plan."""
    _book(day, count, at("09:00"))
    return Ask(day.now, TUESDAY, 0.95, by_hand(0.0))


def test_the_plan_that_two_people_looked_at_is_kept_with_what_it_rested_on():
    day = a_day()
    ask = booked(day)
    doing = with_second(day.doing(by=SORREL), BRYONY)
    sign_plan(day.site, doing, ask, LookedAt(vials=3, booked=17))
    event = day.entries()[-1].event
    assert isinstance(event, PlanSigned)
    assert (event.day, event.vials, event.booked, event.second) == ("2026-02-03", 3, 17, BRYONY)
    assert (event.service_permille, event.no_show) == (950, "0.0 % given by hand")
    kept = day.one(SIGNED_PLAN, "2026-02-03")
    assert (kept.vials, kept.by, kept.second) == (3, SORREL, BRYONY)


def test_a_plan_that_has_changed_since_is_not_signed():
    day = a_day()
    ask = booked(day)
    doing = with_second(day.doing(by=SORREL), BRYONY)
    with pytest.raises(RecordError, match="3 vials for 17 bookings now, and you looked at 2"):
        sign_plan(day.site, doing, ask, LookedAt(vials=2, booked=16))
    assert not any(isinstance(each.event, PlanSigned) for each in day.entries())


def test_one_person_alone_signs_no_plan():
    day = a_day()
    ask = booked(day)
    with pytest.raises(SecondPersonError):
        sign_plan(day.site, day.doing(by=SORREL), ask, LookedAt(3, 17))


def test_a_second_signature_of_the_day_counts():
    day = a_day()
    ask = booked(day)
    for name in (BRYONY, "Rowan Thistle"):
        sign_plan(day.site, with_second(day.doing(by=SORREL), name), ask, LookedAt(3, 17))
    assert day.one(SIGNED_PLAN, "2026-02-03").second == "Rowan Thistle"
