"""What a tablet sends after it worked on its own: once, whose, when, and what is missing."""

from dataclasses import replace
from uuid import uuid4

from tests.cast import HAZEL, ROWAN, at
from tests.web.hall import text
from tests.web.test_draw_table import on_the_table

from thawline.base.instants import exactly, to_ms
from thawline.base.roles import Role
from thawline.ledger.entries import Kind
from thawline.ledger.events import DoseDrawn, VialPunctured
from thawline.web.acts import acts
from thawline.web.gaps import gaps, in_runs
from thawline.web.press import Sent, press
from thawline.web.who import Who

FORTY_MIN_MS = 40 * 60 * 1000


def preparer(hall, name: str = HAZEL):
    return hall.browser(name, Role.PREPARER, station="table-1")


def late(hall, browser, act: str, form: dict, number: int, **more):
    """Send a press that waited 40 minutes on a tablet."""
    told = {"tablet": "a1b2c3d4", "device_seq": number, "elapsed_ms": FORTY_MIN_MS, **more}
    return hall.send(browser, act, form, **told)


def say_word(hall, browser, **said):
    return hall.client_post(browser, "/api/heard", {"tablet": "a1b2c3d4", **said})


def test_a_press_whose_answer_was_lost_is_asked_again_later_and_recorded_once(hall):
    [code] = on_the_table(hall)
    browser, press_id = preparer(hall), str(uuid4())
    hall.clock("10:02")
    first = hall.send(browser, "open-vial", {"vial": code}, id=press_id)
    hall.clock("10:42")
    again = late(hall, browser, "open-vial", {"vial": code}, 1, id=press_id)
    assert (again.status_code, again.json()["hash"]) == (200, first.json()["hash"])
    assert sum(isinstance(each.event, VialPunctured) for each in hall.entries()) == 1


def test_a_press_that_was_recorded_needs_no_time_to_be_asked_again(hall):
    [code] = on_the_table(hall)
    browser, press_id = preparer(hall), str(uuid4())
    hall.clock("10:02")
    hall.send(browser, "open-vial", {"vial": code}, id=press_id)
    again = hall.send(browser, "open-vial", {"vial": code}, id=press_id, elapsed_ms=None)
    assert (again.status_code, again.json()["again"]) == (200, True)


def test_a_press_that_overtakes_itself_is_recorded_once(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    opening, twins = acts()["open-vial"], []

    def overtaken(site, doing, form):
        if not twins:
            twins.append(form)
            opening.press(site, replace(doing, occurred=exactly(at("10:01"))), form)
        return opening.press(site, doing, form)

    who = Who(HAZEL, frozenset({Role.PREPARER}))
    sent = Sent(uuid4(), {"vial": code})
    outcome, _ = press(hall.site, who, replace(opening, press=overtaken), sent)
    assert outcome.receipt.again
    assert sum(isinstance(each.event, VialPunctured) for each in hall.entries()) == 1


def test_a_refusal_whose_answer_was_lost_stays_a_refusal(hall):
    [code] = on_the_table(hall)
    browser, press_id = preparer(hall), str(uuid4())
    hall.clock("10:02")
    first = hall.send(browser, "draw-dose", {"vial": code}, id=press_id)
    hall.clock("10:42")
    again = late(hall, browser, "draw-dose", {"vial": code}, 1, id=press_id)
    assert (first.status_code, again.status_code) == (409, 409)
    assert not any(isinstance(each.event, DoseDrawn) for each in hall.entries())


def test_what_was_pressed_forty_minutes_ago_is_a_fact_with_its_interval(hall):
    [code] = on_the_table(hall)
    hall.clock("10:42")
    answer = late(hall, preparer(hall), "open-vial", {"vial": code}, 1)
    opened = hall.entries()[-1]
    assert (answer.status_code, opened.kind) == (200, Kind.FACT)
    assert opened.lo_ms == to_ms(at("10:02")) - 2000
    assert opened.hi_ms == to_ms(at("10:02")) + 2000


def test_the_use_by_of_a_vial_opened_late_runs_from_the_earlier_bound(hall):
    [code] = on_the_table(hall)
    hall.clock("10:42")
    browser = preparer(hall)
    late(hall, browser, "open-vial", {"vial": code}, 1)
    # Six hours (C4) after 10:01:58: the clock on the wall shows 16:01, a minute early.
    assert "use by 16:01" in text(hall.get(browser, "/draw-table"))


def test_where_the_tablet_does_not_know_when_the_site_asks(hall):
    [code] = on_the_table(hall)
    hall.clock("10:42")
    browser = preparer(hall)
    answer = late(hall, browser, "open-vial", {"vial": code}, 1, elapsed_ms=None)
    assert (answer.status_code, answer.json()["needs"]) == (422, "time")
    typed = late(hall, browser, "open-vial", {"vial": code}, 1, elapsed_ms=None, typed="10:02")
    assert typed.status_code == 200
    assert hall.entries()[-1].lo_ms == to_ms(at("10:02"))


def test_one_id_for_two_acts_is_a_clash_that_names_who_recorded_what(hall):
    one, other = on_the_table(hall, 2)
    hall.clock("10:02")
    press_id = str(uuid4())
    hall.send(preparer(hall), "open-vial", {"vial": one}, id=press_id)
    clash = hall.send(preparer(hall), "open-vial", {"vial": other}, id=press_id)
    assert clash.status_code == 422
    assert clash.json()["says"] == f"{HAZEL} recorded this at 10:02 as: vial punctured"


def test_two_tablets_with_one_vial_are_both_recorded_and_the_second_is_told(hall):
    [code] = on_the_table(hall)
    hall.clock("10:14")
    hall.send(preparer(hall, ROWAN), "open-vial", {"vial": code})
    hall.clock("10:42")
    second = late(hall, preparer(hall), "open-vial", {"vial": code}, 1)
    assert second.status_code == 200
    assert f"{ROWAN} recorded at 10:14 that it was opened" in second.json()["says"]
    assert "open-already" in {each["code"] for each in second.json()["findings"]}
    assert sum(isinstance(each.event, VialPunctured) for each in hall.entries()) == 2


def test_numbers_that_never_arrived_are_listed_by_tablet(hall):
    [code] = on_the_table(hall)
    hall.clock("10:42")
    browser = preparer(hall)
    say_word(hall, browser, last=5, waiting=2)
    late(hall, browser, "open-vial", {"vial": code}, 1)
    late(hall, browser, "draw-dose", {"vial": code}, 3)
    [gap] = gaps()
    assert gap.says == "tablet a1b2c3d4, table-1: entries 2, 4 to 5 never arrived"
    assert gap.waiting == 2


def test_a_tablet_that_has_sent_everything_owes_nothing(hall):
    [code] = on_the_table(hall)
    hall.clock("10:42")
    browser = preparer(hall)
    late(hall, browser, "open-vial", {"vial": code}, 1)
    say_word(hall, browser, last=1)
    assert gaps() == ()


def test_an_entry_that_the_site_could_not_take_stays_a_gap(hall):
    hall.clock("10:42")
    browser = preparer(hall)
    say_word(hall, browser, last=1)
    assert late(hall, browser, "open-vial", {"vial": "HK47M"}, 1).status_code == 404
    assert gaps()[0].missing == ("1",)


def test_runs_of_numbers_are_said_as_runs():
    assert list(in_runs([3, 41, 42, 43, 50])) == ["3", "41 to 43", "50"]


def test_nobody_who_is_not_logged_in_speaks_for_a_tablet(hall):
    assert say_word(hall, hall.browser(), last=1).status_code == 401


def test_an_entry_belongs_to_whoever_pressed_it_not_to_whoever_sends_it(hall):
    [code] = on_the_table(hall)
    hall.clock("10:02")
    page = hall.get(preparer(hall), "/draw-table").content.decode()
    word = page.partition('data-presser="')[2].partition('"')[0]
    hall.clock("10:42")
    other = hall.browser(ROWAN, Role.PREPARER)
    answer = late(hall, other, "open-vial", {"vial": code}, 1, presser=word)
    assert (answer.status_code, answer.json()["needs"]) == (401, "person")
    assert HAZEL in answer.json()["says"]
    own = late(hall, preparer(hall), "open-vial", {"vial": code}, 1, presser=word)
    assert (own.status_code, hall.entries()[-1].by) == (200, HAZEL)


def test_a_word_that_nobody_gave_out_is_no_person(hall):
    answer = late(hall, preparer(hall), "open-vial", {"vial": "HK47M"}, 1, presser="made:up")
    assert (answer.status_code, answer.json()["needs"]) == (401, "person")
