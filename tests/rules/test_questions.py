"""Texts of questions, with the question's own figures in them; all made up."""

import pytest
from tests.screen.made_up import FAINT, REVIEWED, SERUM, YOUNG, question

from thawline.base.durations import read_allowance
from thawline.rules.questions import Outcome, is_draft, told
from thawline.rules.wordings import Words, spoken_in


def test_a_text_says_the_questions_own_figures():
    asked = Words(en="Under {ask_if.age_below}, or {wait}?", es="¿Menos de {ask_if.age_below}?")

    assert told(YOUNG, asked).startswith("Under 16, or")
    assert told(YOUNG, asked, "es") == "¿Menos de 16?"
    assert told(SERUM, Words(en="{wait}"), "en") == "10 days"


def test_a_text_nobody_translated_is_said_in_english():
    assert told(SERUM, Words(en="In {wait}.", es=None), "es") == "In 10 días."


@pytest.mark.parametrize(
    ("written", "english", "spanish"),
    [
        ("P1D", "1 day", "1 día"),
        ("P90D", "90 days", "90 días"),
        ("PT1H", "1 hour", "1 hora"),
        ("PT4H", "4 hours", "4 horas"),
        ("PT1M", "1 minute", "1 minuto"),
        ("P1DT2H3M", "1 day 2 hours 3 minutes", "1 día 2 horas 3 minutos"),
    ],
)
def test_lengths_are_said_as_people_say_them(written, english, spanish):
    length = read_allowance(written)

    assert (spoken_in(length, "en"), spoken_in(length, "es")) == (english, spanish)


def test_spanish_is_a_draft_until_somebody_reviewed_it():
    assert is_draft(FAINT, "es")
    assert not is_draft(FAINT, "en")
    assert not is_draft(question("Q1", reviewed=REVIEWED), "es")


@pytest.mark.parametrize(
    ("outcome", "bare", "stay"),
    [
        ("contraindicated", "contraindicated", None),
        ("not-given", "not-given", None),
        ("give-30", "give", 30),
        ("give-15", "give", 15),
    ],
)
def test_an_outcome_that_gives_says_how_long_to_stay(outcome, bare, stay):
    found = Outcome(outcome)

    assert (found.bare, found.observe_min, found.gives) == (bare, stay, stay is not None)
