"""What pages share within a second, and never: another state, another moment."""

import pytest
from tests.cast import HAZEL, a_day, at, codes

from thawline.adapters.wiring import FOLDS
from thawline.app import vials
from thawline.app.holds import hold
from thawline.app.until import until
from thawline.web import kept
from thawline.web.around import Around
from thawline.web.day import day_so_far
from thawline.web.who import Who

WHO = Who(name=HAZEL, roles=frozenset(), device="tablet 1")


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    monkeypatch.setattr(kept, "_of_minute", {})


@pytest.fixture
def day():
    """A vial open since 07:00:00, with two syringes drawn from it."""
    day = a_day()
    vial = day.opened("07:00")
    vials.draw(day.site, day.doing("07:10"), vial, 2)
    return day


def seen(day, moment, upto=None, **looks):
    """Return what a page that is opened at the moment stands in; `upto`: an older page's."""
    with day.site.ledger.view() as view:
        return Around(day.site, until(view, upto or moment, FOLDS), moment, WHO, **looks)


def at_second(clock, microseconds=0):
    return at(clock).replace(microsecond=microseconds)


def test_two_pages_of_one_second_are_shown_the_same_syringes(day):
    first = seen(day, at_second("10:00:20", 1)).lying
    assert len(first) == 2
    assert seen(day, at_second("10:00:20", 999_999)).lying is first


@pytest.mark.parametrize("by_itself", [False, True])
def test_a_hold_reaches_syringes_holds_and_alerts_within_the_second(day, by_itself):
    """A tablet that only looks is told as soon as one that is used."""
    before = seen(day, at_second("10:00:20", 1), by_itself=by_itself)
    assert [each.usable for each in before.lying] == [True, True]
    assert (before.holds, codes(before.alerts)) == ((), [])
    hold(day.site, day.doing("10:00:20", why="shaken"), [before.lying[0].vial])
    after = seen(day, at_second("10:00:20", 2), by_itself=by_itself)
    assert [(each.held, each.usable) for each in after.lying] == [(True, False)] * 2
    assert len(after.holds) == 1
    assert after.alerts


def test_a_syringe_is_past_its_vials_use_by_in_the_second_of_it(day):
    # the small protocol: five hours after opening at 07:00
    assert [each.usable for each in seen(day, at_second("11:59:59")).lying] == [True, True]
    ended = seen(day, at_second("12:00:00")).lying
    assert [each.usable for each in ended] == [False, False]


def test_a_syringe_is_past_its_use_by_for_the_second_that_ends_there(day):
    """A moment early, never late: what is shared counts from the end of its second."""
    early = seen(day, at_second("11:59:59", 1))
    assert [each.usable for each in early.lying] == [False] * 2
    assert codes(early.alerts) == codes(seen(day, at_second("12:00:00")).alerts) != []


def test_a_clock_that_is_put_back_is_answered_at_its_own_time(day):
    late = seen(day, at_second("12:00:00")).lying
    early = seen(day, at_second("11:00:00")).lying
    assert [each.usable for each in late] == [False, False]
    assert [each.usable for each in early] == [True, True]


def test_a_day_put_back_never_shares_what_was_recorded_later(day):
    """Rehearsal: at 09:00 nothing is known of a hold that is recorded for 10:00."""
    vial = seen(day, at_second("09:00:00")).lying[0].vial
    hold(day.site, day.doing("10:00", why="shaken"), [vial])
    assert len(seen(day, at_second("10:00:00")).holds) == 1
    put_back = seen(day, at_second("09:00:00"))
    assert (put_back.holds, codes(put_back.alerts)) == ((), [])
    assert [each.usable for each in put_back.lying] == [True, True]
    assert len(seen(day, at_second("10:00:00", 5)).holds) == 1


def test_a_page_that_began_before_an_act_shares_nothing_with_one_that_began_after(day):
    """Both see the same newest entry, but to the first of them it has not happened yet."""
    vial = seen(day, at_second("10:00:20", 1)).lying[0].vial
    hold(day.site, day.doing("10:00:20.500", why="shaken"), [vial])
    began_before = seen(day, at_second("10:00:20", 400_000))
    assert [each.usable for each in began_before.lying] == [True, True]
    assert began_before.holds == ()
    began_after = seen(day, at_second("10:00:20", 600_000))
    assert [each.usable for each in began_after.lying] == [False, False]
    assert len(began_after.holds) == 1


def test_what_one_site_shows_is_never_another_sites(day):
    other = a_day()
    assert len(seen(day, at_second("10:00:20")).lying) == 2
    assert seen(other, at_second("10:00:20")).lying == ()


def test_a_page_that_is_used_is_shown_its_list_anew_and_one_that_looks_once_a_second(day):
    asked = []

    def page(moment, **looks):
        return seen(day, moment, **looks).once_a_second("list", lambda: asked.append(1))

    page(at_second("10:00:20", 1))
    page(at_second("10:00:20", 2), by_itself=True)
    assert len(asked) == 1
    vial = seen(day, at_second("10:00:20")).lying[0].vial
    vials.draw(day.site, day.doing("10:00:20"), vial)
    page(at_second("10:00:20", 3), by_itself=True)
    assert len(asked) == 1
    page(at_second("10:00:20", 4))
    assert len(asked) == 2
    page(at_second("10:00:21", 1), by_itself=True)
    assert len(asked) == 3


@pytest.mark.parametrize("wall", ["12:00:00", "12:00:59"])
def test_the_picture_of_today_is_drawn_for_the_end_of_the_minute_it_is_kept(day, wall):
    """From a whole minute on too: a vial is past a moment early, and never late."""
    assert day_so_far(seen(day, at_second(wall))).line.until == at("12:01")
