"""Screening: question by question in two languages; what staff read, what the public reads."""

import re

import pytest
from tests.cast import BRYONY, PINS, SORREL
from tests.web.hall import text
from tests.web.people import MARSH, MARSH_NAME, booked, events, screened

from thawline.app.ports import Name
from thawline.base.roles import Role
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared

SCREENER = "Tansy Bellowsthwaite"
PUBLIC = "Not here today; the clinical lead will explain."


@pytest.fixture
def browser(hall):
    """A screener, and somebody booked whose language is Spanish."""
    booked(hall)
    return hall.browser(SCREENER, Role.SCREENER, station="screening-1")


def ask(browser, **sent):
    return browser.post(f"/questions/{MARSH}", sent, secure=True)


def item_of(page) -> str:
    return re.search(r'name="item" value="(Q\d+)"', page.content.decode())[1]


def answers_of(page) -> str:
    return re.search(r'name="answers" value="([^"]*)"', page.content.decode())[1]


def play(browser, yes: str = ""):
    """Answer every question with no, but one with yes; return the page after the last."""
    page = browser.get(f"/questions/{MARSH}", secure=True)
    for _ in range(40):
        if "questions are answered" in text(page):
            break
        item = item_of(page)
        reply = "yes" if item == yes else "no"
        page = ask(browser, answers=answers_of(page), item=item, reply=reply)
    return page


def test_one_question_stands_in_both_languages_the_persons_own_first(browser):
    page = browser.get(f"/questions/{MARSH}", secure=True)
    html = page.content.decode()
    assert html.index('lang="es"') < html.index('class="ask other"')
    assert "Have you ever had a severe allergic reaction" in text(page)
    assert "¿Ha tenido alguna vez una reacción alérgica grave" in text(page)
    assert all(word in text(page) for word in ("Yes Sí", "No No", "Not sure No sé"))


def test_a_translation_that_nobody_reviewed_says_so(browser):
    page = browser.get(f"/questions/{MARSH}", secure=True)
    assert "borrador / draft" in text(page)


def test_back_takes_the_last_answer_away(browser):
    first = browser.get(f"/questions/{MARSH}", secure=True)
    second = ask(browser, item=item_of(first), reply="no")
    assert item_of(second) != item_of(first)
    again = ask(browser, answers=answers_of(second), back="1")
    assert (item_of(again), answers_of(again)) == (item_of(first), "")


def test_what_is_for_a_second_dose_alone_is_not_asked_before_the_first(browser):
    # Q2 asks about an earlier dose of this vaccine; the protocol asks it at dose 2 only.
    done = play(browser)
    assert "Q1=no" in answers_of(done)
    assert "Q2=" not in answers_of(done)


def test_nothing_is_recorded_before_the_last_answer(hall, browser):
    play(browser)
    assert events(hall, ScreeningAnswered) == []
    assert (
        hall.send(
            browser, "answer-screening", {"person": MARSH, "answers": "Q1=no"}
        ).status_code
        == 422
    )
    assert events(hall, ScreeningAnswered) == []


def test_all_no_means_the_usual_time_and_the_person_reads_to_go_on(hall, browser):
    done = play(browser)
    after = hall.press(
        browser,
        "answer-screening",
        person=MARSH,
        answers=answers_of(done),
        _next=f"/questions/{MARSH}",
    )
    assert [each.outcome for each in events(hall, ScreeningAnswered)] == ["give-15"]
    assert "Go on to the chair. Pase a la silla." in text(after)


def test_a_worrying_yes_shows_the_public_one_sentence_and_staff_the_reason(hall, browser):
    # Practice rule 5: Q5, a severe allergic reaction to something else; staff see why.
    done = play(browser, yes="Q5")
    answers = answers_of(done)
    after = hall.press(
        browser, "answer-screening", person=MARSH, answers=answers, _next=f"/questions/{MARSH}"
    )
    public, staff = after.content.decode().split("<details", 1)
    assert PUBLIC in public
    assert "allergic" not in public.split('id="main"')[1]
    assert "Severe allergic reaction to something other than a vaccine" in staff
    assert ">Q5<" in staff


def test_a_yes_that_waits_asks_for_the_day(browser):
    page = ask(browser, answers="", item="Q13", dated="yes")
    assert "on which day?" in text(page)
    dated = ask(browser, answers="", item="Q13", on="2026-01-20")
    assert answers_of(dated) == "Q13=2026-01-20"
    late = ask(browser, answers="", item="Q13", on="2026-02-04")
    assert late.status_code == 422


def test_only_the_clinical_lead_clears_a_referral_and_only_with_their_pin(hall, browser):
    hall.site.pins.put(BRYONY, PINS[BRYONY], Role.CLINICAL_LEAD)
    screened(hall, MARSH, "Q4=yes")
    form = {"person": MARSH}
    mine = {"why": "asked-again", "pin": PINS[BRYONY]}
    assert hall.send(browser, "clear-screening", form, **mine).status_code == 403
    lead = hall.browser(BRYONY, Role.CLINICAL_LEAD)
    wrong = hall.send(lead, "clear-screening", form, **{**mine, "pin": PINS[SORREL]})
    assert (wrong.status_code, wrong.json()["needs"]) == (403, "pin")
    assert events(hall, ScreeningCleared) == []
    assert hall.send(lead, "clear-screening", form, **mine).status_code == 200
    assert [each.outcome for each in events(hall, ScreeningCleared)] == ["give-30"]


def test_the_card_to_point_at_has_every_question_in_both_languages(hall, browser):
    page = text(hall.get(browser, "/screening-card"))
    assert "Point to your answer. Señale su respuesta." in page
    assert "Q1 Have you ever had a severe allergic reaction to a dose of this vaccine?" in page


def test_a_name_with_signs_in_it_is_shown_as_it_is_and_never_as_markup(hall, browser):
    hall.site.people.put(MARSH, Name("<b onclick=x>Marigold</b>", "1984-05-06"))
    page = browser.get(f"/questions/{MARSH}", secure=True).content.decode()
    assert "&lt;b onclick=x&gt;Marigold" in page
    assert MARSH_NAME not in page


def test_after_the_answers_are_recorded_the_page_of_that_person_shows_what_came_of_it(
    hall, browser
):
    done = play(browser)
    back = re.search(
        r'name="_next" value="([^"]*)"', done.content.decode().partition("<main")[2]
    )
    assert back[1] == f"/questions/{MARSH}"
    assert hall.get(browser, back[1]).status_code == 200
