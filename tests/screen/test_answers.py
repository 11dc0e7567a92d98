"""Answers as they are typed: which are none, which contradict each other, which are early."""

from datetime import date

import pytest
from tests.screen.made_up import TODAY, answers

from thawline.base.errors import RecordError
from thawline.screen.answers import Answer, Reply


def test_a_day_means_yes_then():
    assert answers("Q2=2026-01-31") == {"Q2": Answer(Reply.YES, date(2026, 1, 31))}


@pytest.mark.parametrize(
    ("typed", "reply"),
    [("q1=Yes", "yes"), (" Q1 = NO", "no"), ("Q1=not sure", "not-sure")],
    ids=["small letter", "spaces", "in two words"],
)
def test_an_answer_is_read_however_it_is_typed(typed, reply):
    assert answers(typed) == {"Q1": Answer(Reply(reply))}


def test_an_answer_has_one_word_by_which_it_is_kept():
    kept = answers("Q1=not-sure", "Q2=2026-01-31")

    assert [each.code for each in kept.values()] == ["not-sure", "2026-01-31"]


def test_an_item_nobody_asks_is_answered_with_the_likely_one():
    with pytest.raises(RecordError) as refused:
        answers("Q77=yes")

    assert refused.value.says == "no question 'Q77' in these rules"
    assert refused.value.advice.startswith("did you mean Q7? asked here: Q1, Q2,")


def test_an_item_like_none_is_answered_with_all_there_are():
    with pytest.raises(RecordError) as refused:
        answers("fever=yes")

    assert refused.value.advice.startswith("asked here: Q1, Q2,")


@pytest.mark.parametrize("said", ["", "maybe", "2026-02-30", "1821-01-01"])
def test_what_is_no_answer_is_refused_with_its_item(said):
    with pytest.raises(RecordError) as refused:
        answers(f"Q1={said}")

    assert refused.value.says == f"Q1: not an answer: {said!r}"
    assert "yes, no, not-sure or the day" in refused.value.advice


def test_a_day_to_come_is_refused_and_today_is_none():
    with pytest.raises(RecordError) as refused:
        answers("Q2=2026-02-04")

    assert refused.value.says == "Q2: 2026-02-04 has not come yet on 2026-02-03"
    assert refused.value.advice == "look at the year that was typed"
    assert answers("Q2=2026-02-03")["Q2"].on == TODAY


@pytest.mark.parametrize(
    "twice",
    [
        ("Q1=yes", "Q1=no"),
        ("Q1=no", "Q1=not-sure"),
        ("Q2=no", "Q2=2026-01-31"),
        ("Q2=2026-01-30", "Q2=2026-01-31"),
        ("Q2=not-sure", "Q2=2026-01-31"),
    ],
)
def test_two_answers_that_contradict_each_other_are_refused(twice):
    with pytest.raises(RecordError) as refused:
        answers(*twice)

    first, second = (text.partition("=")[2] for text in twice)
    assert refused.value.says == f"{twice[0][:2]} has two answers: {first} and {second}"
    assert refused.value.advice == "ask again, and give the one that is right"


@pytest.mark.parametrize(
    "twice",
    [("Q2=yes", "Q2=2026-01-31"), ("Q2=2026-01-31", "Q2=yes"), ("Q2=2026-01-31",) * 2],
)
def test_a_day_says_more_than_a_bare_yes(twice):
    assert answers(*twice)["Q2"].on == date(2026, 1, 31)
