"""Whom a question is for, and what is known without asking."""

from datetime import date, timedelta

import pytest
from tests.screen.made_up import ASKED, SICK, SOON, TODAY, YOUNG, outcome, question

from thawline.base.errors import RecordError
from thawline.rules.questions import AskIf
from thawline.screen.answers import Answer, Reply
from thawline.screen.asking import Person, is_asked, known_answer, to_ask
from thawline.screen.decision import decided


def _items(**person) -> list[str]:
    return [q.item for q in to_ask(ASKED, Person(**person), TODAY)]


def test_somebody_of_whom_nothing_is_known_is_asked_everything():
    assert _items() == ["Q1", "Q2", "Q3", "Q4", "Q5", "Q6", "Q7", "Q8"]


def test_what_is_for_the_second_dose_is_not_asked_before_the_first():
    assert "Q6" not in _items(dose=1)
    assert "Q6" in _items(dose=2)


def test_a_known_age_needs_no_asking_whatever_it_is():
    assert "Q5" not in _items(age=15)
    assert "Q5" not in _items(age=16)


def test_a_known_first_dose_needs_no_asking():
    assert "Q6" not in _items(dose=2, first_dose=date(2026, 1, 6))


@pytest.mark.parametrize(("age", "asked"), [(11, False), (12, True), (15, True), (16, False)])
def test_an_age_is_asked_from_its_first_birthday_to_the_day_before_its_last(age, asked):
    teens = question("Q1", ask_if=AskIf(age_from=12, age_below=16))

    assert is_asked(teens, Person(age=age)) is asked


def test_a_question_for_one_age_and_dose_is_asked_of_nobody_else():
    second_teens = question("Q1", ask_if=AskIf(dose=2, age_below=16))

    assert not is_asked(second_teens, Person(dose=1, age=15))
    assert not is_asked(second_teens, Person(dose=2, age=16))
    assert is_asked(second_teens, Person(dose=2))


def test_nobody_under_age_is_given_the_dose_and_a_birthday_is_old_enough():
    assert outcome(person=Person(age=15)).outcome == "not-given"
    assert outcome(person=Person(age=16)).outcome == "give-15"


@pytest.mark.parametrize(
    ("days", "comes_to", "until"),
    [(20, "not-today", TODAY + timedelta(1)), (21, "give-15", None), (0, "not-today", None)],
)
def test_the_first_dose_on_record_says_whether_it_is_too_soon(days, comes_to, until):
    first = TODAY - timedelta(days)
    found = outcome(person=Person(dose=2, first_dose=first))

    assert found.outcome == comes_to
    assert found.until == (
        until or (first + timedelta(21) if comes_to == "not-today" else None)
    )


def test_on_the_day_the_wait_ends_the_record_answers_no():
    first = {"dose": 2, "first_dose": TODAY - timedelta(21)}
    second = {"dose": 2, "first_dose": TODAY - timedelta(20)}

    assert known_answer(SOON, Person(**first), TODAY).code == "no"
    assert known_answer(SOON, Person(**second), TODAY).code == "2026-01-14"


def test_an_answer_of_no_is_known_of_whoever_a_question_is_not_for():
    assert known_answer(SOON, Person(dose=1), TODAY).code == "no"
    assert known_answer(YOUNG, Person(age=40), TODAY).code == "no"
    assert known_answer(SICK, Person(dose=1, age=40), TODAY) is None


def test_a_worrying_answer_counts_even_where_the_question_is_not_for_the_person():
    later_only = question("Q1", ask_if=AskIf(dose=2))
    said = {"Q1": Answer(Reply.YES)}

    assert decided([later_only], said, TODAY, Person(dose=1)).outcome == "refer"
    assert decided([later_only], {}, TODAY, Person(dose=1)).outcome == "give-15"


@pytest.mark.parametrize(
    ("said", "person"),
    [
        ("Q5=yes", Person(age=40)),
        ("Q5=no", Person(age=12)),
        ("Q6=no", Person(dose=2, first_dose=date(2026, 2, 1))),
        ("Q6=yes", Person(dose=2, first_dose=date(2026, 1, 1))),
        ("Q6=2026-02-01", Person(dose=1)),
    ],
)
def test_an_answer_that_contradicts_the_record_is_refused(said, person):
    with pytest.raises(RecordError) as refused:
        outcome(said, person=person)

    assert refused.value.says.startswith(f"{said}, and what is known of the person says")
    assert refused.value.advice == (
        "look at the birth date and the card; correct the one that is wrong"
    )


@pytest.mark.parametrize(
    ("said", "person", "comes_to"),
    [
        ("Q5=not-sure", Person(age=40), "give-15"),
        ("Q5=not-sure", Person(age=12), "not-given"),
        ("Q5=yes", Person(age=12), "not-given"),
        ("Q6=yes", Person(dose=2, first_dose=date(2026, 2, 1)), "not-today"),
        ("Q6=2026-01-01", Person(dose=2, first_dose=date(2026, 1, 1)), "give-15"),
        ("Q6=2026-01-20", Person(dose=2, first_dose=date(2026, 1, 25)), "not-today"),
    ],
)
def test_an_answer_that_agrees_with_the_record_comes_to_what_the_record_says(
    said, person, comes_to
):
    assert outcome(said, person=person).outcome == comes_to


def test_a_day_of_the_first_dose_known_to_nobody_is_referred():
    assert outcome("Q6=yes", person=Person(dose=2)).outcome == "refer"


def test_a_question_derived_from_the_other_answers_is_asked_of_nobody_and_can_be_answered():
    assert "Q9" not in _items()
    assert outcome("Q9=yes").outcome == "refer"
