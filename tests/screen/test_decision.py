"""What answers come to: outcome, reasons, dates, what is not answered. All figures made up."""

from datetime import date

import pytest
from tests.screen.made_up import TODAY, outcome, question

from thawline.rules.wordings import Words
from thawline.screen.answers import Answer, Reply
from thawline.screen.asking import Person
from thawline.screen.decision import decided


def test_without_a_worrying_answer_the_dose_is_given_and_the_usual_stay_kept():
    found = outcome()

    assert (found.outcome, found.observe_min, found.reasons) == ("give-15", 15, ())
    assert (found.until, found.advice()) == (None, "")


def test_a_question_without_an_answer_never_gives():
    found = outcome("Q1=no", others_no=False, person=Person(dose=1, age=40))

    assert found.outcome is found.observe_min is found.until is None
    assert found.not_answered == ("Q2", "Q3", "Q4", "Q7", "Q8")


def test_nobody_is_taken_to_have_said_no_unless_that_was_said():
    assert decided([question("Q1")], {}, TODAY).outcome is None


def test_what_is_missing_hides_nothing_of_what_was_answered():
    found = outcome("Q4=yes", others_no=False)

    assert found.outcome is None
    assert found.so_far.outcome == "contraindicated"
    assert [reason.item for reason in found.reasons] == ["Q4"]


def test_every_answer_counted_is_kept_said_or_known():
    found = outcome("Q1=not-sure", others_no=False, person=Person(dose=1, age=12))

    assert {item: said.code for item, said in found.answers.items()} == {
        "Q1": "not-sure",
        "Q5": "yes",
        "Q6": "no",
        "Q9": "no",
    }


@pytest.mark.parametrize(
    ("today", "comes_to"),
    [(date(2026, 2, 9), "not-today"), (date(2026, 2, 10), "give-15")],
    ids=["the day before", "the day itself"],
)
def test_a_wait_is_over_on_its_last_day(today, comes_to):
    assert outcome("Q2=2026-01-31", today=today).outcome == comes_to


def test_a_wait_that_is_over_is_no_reason():
    assert outcome("Q2=2025-01-31").reasons == ()


def test_of_two_waits_the_later_day_counts():
    found = outcome("Q2=2026-01-31", "Q3=2026-01-25", "Q7=yes")

    assert (found.outcome, found.until) == ("not-today", date(2026, 2, 14))
    assert [reason.item for reason in found.reasons] == ["Q2", "Q3", "Q7"]


def test_a_day_to_wait_for_is_told_only_where_waiting_is_all_there_is():
    assert outcome("Q2=2026-01-31", "Q4=yes").until is None
    assert outcome("Q1=yes").until is None


@pytest.mark.parametrize("said", ["Q2=yes", "Q2=not-sure"])
def test_a_wait_from_a_day_nobody_knows_is_referred(said):
    found = outcome(said)

    assert found.outcome == "refer"
    assert (
        found.reasons[0].says()
        == "Q2 says so. The day is not known: the clinical lead decides."
    )
    assert (
        found.reasons[0].says("es")
        == "Q2 lo dice. No se sabe el día: decide la dirección clínica."
    )


def test_the_strictest_reason_is_said_first():
    found = outcome("Q1=yes", "Q7=yes", "Q8=yes", "Q4=yes")

    assert [reason.item for reason in found.reasons] == ["Q4", "Q1", "Q8", "Q7"]
    assert found.outcome == "contraindicated"


def test_a_reason_says_from_which_day_or_that_the_answer_was_not_sure():
    dated, unsure = outcome("Q2=2026-01-31").reasons[0], outcome("Q4=not-sure").reasons[0]

    assert dated.says() == "Q2 says so. From 2026-02-10."
    assert dated.says("es") == "Q2 lo dice. Desde el 2026-02-10."
    assert unsure.says() == "Q4 says so. The answer was not sure."
    assert unsure.says("es") == "Q4 lo dice. La respuesta fue: no sé."


def test_a_plain_yes_says_the_rule_and_nothing_besides():
    assert outcome("Q8=yes").reasons[0].says() == "Q8 says so."


def test_the_longer_stay_wins_over_the_usual_one():
    found = outcome("Q8=yes", "Q7=yes")

    assert (found.outcome, found.observe_min) == ("give-30", 30)


def test_advice_is_said_in_the_language_asked_for():
    assert outcome("Q7=yes", "Q8=yes").advice() == "Lie down for 3 minutes."
    assert outcome("Q7=yes").advice("es") == "Acuéstese 3 minutos."


def test_a_reason_says_the_figures_of_its_question():
    hives = question(
        "Q1",
        "give-30",
        within="PT2H",
        says=Words(en="Hives within {within}.", es="Ronchas en {within}."),
        advice=Words(en="Stay {within}."),
    )
    (reason,) = decided([hives], {"Q1": Answer(Reply.YES)}, TODAY).reasons

    assert reason.says() == "Hives within 2 hours."
    assert reason.says("es") == "Ronchas en 2 horas."
    assert (reason.advice(), reason.advice("es")) == ("Stay 2 hours.", "Stay 2 horas.")


def test_advice_of_several_questions_is_said_once_each_in_turn():
    asked = [
        question(item, "give-15", "give-15", advice=Words(en=words))
        for item, words in (("Q1", "Sit."), ("Q2", "Other arm."), ("Q3", "Sit."))
    ]
    said = {item: Answer(Reply.YES) for item in ("Q1", "Q2", "Q3")}

    assert decided(asked, said, TODAY).advice() == "Sit. Other arm."
