"""
Every answer of every question, and every two of them, through the real function.

The expected outcomes are typed cell by cell in tests.screen.cells.
"""

from itertools import combinations, product

import pytest
from tests.screen.cells import ANSWERS, RULE_SETS, TODAY, both, cells, expected, questions

from thawline.rules.questions import by_item
from thawline.screen.answers import read_answers
from thawline.screen.decision import decided


def _decided(asked, said: dict[str, str]):
    typed = [f"{item}={word}" for item, word in said.items()]
    answers = read_answers(typed, by_item(asked), TODAY)
    found = decided(asked, answers, TODAY, others_no=True)
    return found.outcome.value, found.until


@pytest.mark.parametrize("rules", RULE_SETS)
def test_a_rule_set_asks_what_the_table_has_and_nothing_else(rules):
    assert {question.item for question in questions(rules)} == cells(rules).keys()


@pytest.mark.parametrize("rules", RULE_SETS)
def test_every_answer_by_itself_comes_to_its_cell(rules):
    asked = questions(rules)
    wrong = {
        (item, said): outcome
        for item, said in product(cells(rules), ANSWERS)
        if (outcome := _decided(asked, {item: said})) != expected(rules, item, said)
    }

    assert not wrong


@pytest.mark.parametrize("rules", RULE_SETS)
def test_every_two_answers_come_to_the_stricter_and_the_later(rules):
    asked = questions(rules)
    wrong = {}
    for one, other in combinations(cells(rules), 2):
        for said in product(ANSWERS, repeat=2):
            outcome = _decided(asked, dict(zip((one, other), said, strict=True)))
            alone = (
                expected(rules, item, word)
                for item, word in zip((one, other), said, strict=True)
            )
            if outcome != both(*alone):
                wrong[one, other, said] = outcome

    assert not wrong


@pytest.mark.parametrize("rules", RULE_SETS)
def test_every_answer_that_counts_is_a_reason_with_its_item(rules):
    asked = questions(rules)
    for item in cells(rules):
        answers = read_answers([f"{item}=yes"], by_item(asked), TODAY)
        (reason,) = decided(asked, answers, TODAY, others_no=True).reasons

        assert (reason.item, bool(reason.says()), "{" in reason.says("es")) == (
            item,
            True,
            False,
        )
