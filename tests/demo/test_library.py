"""Oddmoor's Tuesday to 16:52: doses in hand counted by the entries, and the advice."""

import pytest
from tests.cast import at

from thawline.app.last_vial import Ask, opening_now
from thawline.cli import last_vial as page
from thawline.demo.arrivals import slots
from thawline.demo.district import SEED, TUESDAY, ZONE, place_named
from thawline.demo.folder import LAST_VIAL, make_anew
from thawline.demo.library import PERSON_PRICE, WAIT_PRICE, library
from thawline.ledger import events as ev
from thawline.plan.last_vial import Step
from thawline.plan.opening import Prices

PLACE = place_named("oddmoor")


@pytest.fixture(name="played", scope="module")
def _played(tmp_path_factory):
    home = tmp_path_factory.mktemp("oddmoor") / "demo"
    make_anew(home)
    return home, library(home, SEED, ZONE)


def test_oddmoor_books_240_a_day_and_nobody_between_16_20_and_17_00():
    booked = slots(PLACE, TUESDAY, SEED)
    quiet = [slot for slot in booked if 16 * 3600 + 20 * 60 <= slot.at_s < 17 * 3600]

    assert sum(len(slot.people) for slot in booked) == 240
    assert [len(slot.people) for slot in quiet] == [0, 0, 0, 0]


def test_the_advice_at_16_52_is_to_wait_until_17_25(played):
    # By hand: the first who may go without is booked at 17:40; a vial stands 15 min.
    _, shown = played
    last = shown.opening.last

    assert last.solved.best is Step.WAIT
    assert last.waits_until == at("17:25")
    assert page.advice(last) == "wait"


def test_the_doses_in_hand_are_those_of_the_entries(played):
    _, shown = played
    with shown.site.ledger.view() as view:
        events = [entry.event for entry in view.entries()]
    opened = sum(isinstance(event, ev.VialPunctured) for event in events)
    given = sum(isinstance(event, ev.DoseGiven) for event in events)
    wasted = sum(e.doses for e in events if isinstance(e, ev.DoseWasted))
    ended = sum(e.doses for e in events if isinstance(e, ev.VialDiscarded))

    assert shown.opening.known.doses == 10 * opened - given - wasted - ended


def test_the_figures_of_the_background_page_are_those_of_the_played_day(played):
    # By hand: 18 of 232 bookings had no dose, so 8 x 214/232 = 7.379 come; 16 - 7.379 = 8.621
    # are wasted with a vial of ten more. Seven or eight of eight come with chance 0.88: 18 of
    # 20.
    _, shown = played
    last = shown.opening.last

    assert last.solved.bring_only.doses_wasted == pytest.approx(8.621, abs=5e-4)
    assert last.short_days == 18


def test_waiting_is_cheaper_than_every_other_choice(played):
    _, shown = played
    last = shown.opening.last
    prices = [told.price for _, told, _ in page.choices(last, shown.opening.known)]

    assert prices[0] < min(prices[1:])


def test_with_walk_ups_one_waits_less_long_and_is_told_to_ask_again(played):
    _, shown = played
    ask = Ask(at("16:52"), Prices(1, PERSON_PRICE, WAIT_PRICE), walk_ups_an_hour=1.0)

    found = opening_now(shown.site, ask)

    assert found.last.waits_until < at("17:25")
    assert "of 100 days: ask again." in page.says(found.last, found.known, shown.site.zone)


def test_the_picture_says_demo_and_lies_in_the_demos_folder(played):
    home, _ = played

    assert "DEMO" in (home / LAST_VIAL).read_text()
