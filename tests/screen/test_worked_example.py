"""The worked example of docs/background/screening.md."""

from datetime import date

from tests.screen.cells import questions

from thawline.rules.questions import by_item
from thawline.screen.answers import read_answers
from thawline.screen.decision import decided

ASKED = questions("field-2021")
LAST_OF_MARCH, FIRST_OF_APRIL = date(2021, 3, 31), date(2021, 4, 1)


def _on(day: date, *typed: str, others_no: bool = True):
    return decided(ASKED, read_answers(typed, by_item(ASKED), day), day, others_no=others_no)


def test_antibodies_and_a_blood_thinner_on_the_day_before():
    found = _on(LAST_OF_MARCH, "Q13=2021-01-01", "Q16=yes")

    assert (found.outcome, found.until) == ("not-today", FIRST_OF_APRIL)
    assert [reason.item for reason in found.reasons] == ["Q13", "Q16"]


def test_antibodies_and_a_blood_thinner_on_the_day():
    found = _on(FIRST_OF_APRIL, "Q13=2021-01-01", "Q16=yes")

    assert (found.outcome, found.observe_min) == ("give-15", 15)
    assert [reason.item for reason in found.reasons] == ["Q16"]


def test_antibodies_on_a_day_nobody_knows():
    assert _on(FIRST_OF_APRIL, "Q13=yes").outcome == "refer"


def test_a_question_without_an_answer():
    rest = [f"{item}=no" for item in by_item(ASKED) if item not in ("Q4", "Q13", "Q16")]
    found = _on(FIRST_OF_APRIL, *rest, "Q13=2021-01-01", "Q16=yes", others_no=False)

    assert (found.outcome, found.not_answered) == (None, ("Q4",))
