"""
Each rule of each shipped rule set changed by one step: an outcome of the table is missed.

An outcome one place stricter or milder, a wait a day shorter or longer, an age or a dose one
off. What is caught is caught by the cells typed in tests.screen.cells, not by a copy of a file.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import msgspec
import pytest
from tests.screen.cells import ANSWERS, RULE_SETS, TODAY, WAITS_DAYS, expected, questions

from thawline.adapters import rule_files
from thawline.rules.audit import audit
from thawline.rules.published import read_published
from thawline.rules.questions import Outcome, Question, by_item
from thawline.rules.reading import examined
from thawline.screen.answers import read_answers
from thawline.screen.asking import Person, to_ask
from thawline.screen.decision import decided

PUBLISHED = read_published(rule_files.references())
SECOND_DOSE_ONLY = {"Q2", "Q17", "Q18", "Q19", "Q22", "Q23"}
LEAST_AGE = 18


def _next_to(outcome: Outcome) -> Iterator[Outcome]:
    places = list(Outcome)
    place = places.index(outcome)
    yield from places[max(place - 1, 0) : place]
    yield from places[place + 1 : place + 2]


change = msgspec.structs.replace


def _one_step_off(question: Question) -> Iterator[Question]:
    for name in ("yes", "not_sure"):
        for outcome in _next_to(getattr(question, name)):
            yield change(question, **{name: outcome})
    yield from _other_waits(question)
    yield from _other_people(question)
    if question.derived_from is not None:
        yield change(question, derived_from=None)


def _other_waits(question: Question) -> Iterator[Question]:
    if question.wait is not None:
        for days in (-1, 1):
            yield change(question, wait=replace(question.wait, days=question.wait.days + days))
        yield change(question, wait=None)


def _other_people(question: Question) -> Iterator[Question]:
    if question.ask_if is None:
        return
    yield change(question, ask_if=None)
    for name in ("dose", "age_below"):
        if (value := getattr(question.ask_if, name)) is not None:
            for step in (-1, 1):
                yield change(question, ask_if=change(question.ask_if, **{name: value + step}))


def _days_around_the_wait(rules: str, item: str) -> list[str]:
    wait = WAITS_DAYS[rules].get(item, 1)
    return [(TODAY - timedelta(wait + step)).isoformat() for step in (-1, 0, 1)]


def _is_as_typed(rules: str, asked: tuple[Question, ...], item: str) -> bool:
    """Say whether a question is decided and asked as the table has it."""
    known = by_item(asked)
    for said in (*ANSWERS, *_days_around_the_wait(rules, item)):
        found = decided(
            asked, read_answers([f"{item}={said}"], known, TODAY), TODAY, others_no=True
        )
        if (found.outcome.value, found.until) != expected(rules, item, said):
            return False
    return _is_put_to_the_right_people(asked, item)


def _is_put_to_the_right_people(asked: tuple[Question, ...], item: str) -> bool:
    def is_put(**person) -> bool:
        return item in by_item(to_ask(asked, Person(**person), TODAY))

    first, second = is_put(dose=1), is_put(dose=2)
    if item == "Q15":
        ages = {
            age: decided(asked, {}, TODAY, Person(age=age), others_no=True) for age in (17, 18)
        }
        by_age = [ages[age].outcome.value for age in (LEAST_AGE - 1, LEAST_AGE)]
        return by_age == ["not-given", "give-15"] and not is_put(age=LEAST_AGE - 1)
    if item == "Q17":
        return not first and second and not is_put(dose=2, first_dose=TODAY)
    if item == "Q21":
        return not first and not second
    return (first, second) == ((False, True) if item in SECOND_DOSE_ONLY else (True, True))


@pytest.mark.parametrize("rules", RULE_SETS)
def test_the_shipped_rules_are_as_typed(rules):
    asked = questions(rules)

    assert not [q.item for q in asked if not _is_as_typed(rules, asked, q.item)]


@pytest.mark.parametrize("rules", RULE_SETS)
def test_a_rule_that_is_one_step_off_is_caught(rules):
    asked = questions(rules)
    missed, tried = [], 0
    for place, question in enumerate(asked):
        for changed in _one_step_off(question):
            tried += 1
            if _is_as_typed(
                rules, (*asked[:place], changed, *asked[place + 1 :]), question.item
            ):
                missed.append(changed)

    assert tried > 90
    assert not missed


@pytest.mark.parametrize("rules", ["national-2021", "later-2022"])
def test_an_outcome_one_step_off_in_the_file_is_said_by_the_check(rules):
    raw = rule_files.shipped(rules).decode()
    lines = raw.splitlines(keepends=True)
    silent = []
    for number, line in enumerate(lines):
        name, _, value = line.strip().partition(" = ")
        if name not in ("yes", "not_sure"):
            continue
        for outcome in _next_to(Outcome(value.strip('"'))):
            changed = [*lines[:number], f'{name} = "{outcome.value}"\n', *lines[number + 1 :]]
            if not audit(examined("".join(changed).encode()), PUBLISHED):
                silent.append((number + 1, outcome))

    assert not silent
