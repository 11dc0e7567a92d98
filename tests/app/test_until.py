"""The ledger as things stood at an earlier moment. Invented vials."""

import pytest
from tests.cast import a_day, at

from thawline.app.until import until
from thawline.app.vials import draw
from thawline.ledger.events import DoseDrawn, VialPunctured
from thawline.ledger.site import KEY, SITE
from thawline.vial.folds import VIAL
from thawline.vial.syringes import SYRINGE

FOLDS = (VIAL, SYRINGE)


@pytest.fixture(name="day")
def _day():
    """A vial open since 07:00, one dose drawn from it at 07:10 and one at 07:30."""
    day = a_day()
    day.vial = day.opened()
    for clock in ("07:10", "07:30"):
        draw(day.site, day.doing(clock), day.vial, 1)
    return day


def ask(day, clock, what):
    with day.site.ledger.view() as view:
        return what(until(view, at(clock), FOLDS), view)


def test_what_happened_later_is_left_out(day):
    left = [
        ask(day, clock, lambda then, _: then.one(VIAL, day.vial).left)
        for clock in ("07:09", "07:10", "07:29", "07:30")
    ]

    assert left == [8, 7, 7, 6]


def test_everything_of_a_kind_is_as_it_stood(day):
    assert ask(day, "07:20", lambda then, _: len(list(then.all(SYRINGE)))) == 1


def test_what_was_not_folded_anew_is_as_it_is_now(day):
    def look(then, now):
        return then.one(SITE, KEY) == now.one(SITE, KEY), list(then.all(SITE)) == list(
            now.all(SITE)
        )

    assert ask(day, "07:20", look) == (True, True)


def test_the_entries_end_at_the_moment(day):
    events = ask(day, "07:20", lambda then, _: [each.event for each in then.entries()])

    assert isinstance(events[-1], DoseDrawn)
    assert sum(isinstance(event, DoseDrawn) for event in events) == 1


def test_a_things_history_ends_at_the_moment(day):
    history = ask(day, "07:05", lambda then, _: then.history(VIAL, day.vial))

    assert isinstance(history[-1].event, VialPunctured)


def test_an_act_and_the_head_are_those_of_the_whole_ledger(day):
    def look(then, now):
        newest = list(now.entries())[-1]
        return then.entry(newest.id) == newest, then.head == now.head

    assert ask(day, "07:05", look) == (True, True)


def test_with_nothing_later_the_view_is_the_ledgers_own(day):
    assert ask(day, "09:00", lambda then, now: then is now)
