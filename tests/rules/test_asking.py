"""Questions that cannot be asked or decided are refused with their key. All made up."""

import pytest
from tests.rules.made_up import PROTOCOL

from thawline.base.errors import RuleError
from thawline.rules.reading import examined, read_protocol
from thawline.rules.rule_sets import read_questions

QUESTION = """
[[screening]]
item = "Q1"
ask.en = "Were you given a serum in the last {wait}?"
ask.es = "¿Le pusieron un suero en los últimos {wait}?"
yes = "not-today"
not_sure = "refer"
wait = "P12D"
says.en = "A serum: wait {wait}."
source = "tale"
"""
AGE = """
[[screening]]
item = "Q2"
ask.en = "Are you under {ask_if.age_below}?"
yes = "not-given"
not_sure = "refer"
ask_if = { age_below = 17 }
derived_from = "birth-date"
says.en = "Too young."
source = "tale"
"""
SOON = """
[[screening]]
item = "Q3"
ask.en = "Is your first dose less than {wait} ago?"
yes = "not-today"
not_sure = "refer"
wait = "P20D"
ask_if = { dose = 2 }
derived_from = "doses-had"
says.en = "Too soon."
source = "tale"
"""
HEAD = """format = 1
[protocol]
id = "tales"
title = "Tales"
version = 3
effective_from = 2021-06-01T06:00:00-06:00
"""
SOURCES = """
[sources.tale]
kind = "invented for the demo"
"""


def _set(*questions: str, head: str = HEAD) -> bytes:
    return "".join([head, *questions, SOURCES]).encode()


def _faults(raw: bytes) -> list[tuple[str, str, int | None]]:
    return [(fault.code, fault.key, fault.line) for fault in examined(raw).faults]


def test_a_rule_set_has_a_heading_questions_and_sources_and_nothing_else():
    read = read_questions(_set(QUESTION, AGE, SOON))

    assert [question.item for question in read.asked] == ["Q1", "Q2", "Q3"]
    assert (read.ref.id, read.ref.version, read.title) == ("tales", 3, "Tales")
    assert read.starts.isoformat() == "2021-06-01T12:00:00+00:00"


def test_a_rule_set_without_a_heading_is_used_and_says_so():
    read = read_questions(_set(QUESTION, head="format = 1\n"))

    assert (read.ref.id, read.ref.version, read.starts) == ("unnamed", 0, None)


def test_a_protocols_own_copy_serves_as_well():
    read = read_questions((PROTOCOL + QUESTION).encode())

    assert (read.ref.id, len(read.asked)) == ("made-up", 1)


def test_a_protocol_that_asks_nothing_serves_not():
    with pytest.raises(RuleError, match="no screening questions"):
        read_questions(PROTOCOL.encode())


def test_a_rule_set_is_no_protocol():
    with pytest.raises(RuleError, match="a rule set with screening questions only"):
        read_protocol(_set(QUESTION))


def test_a_faulty_rule_set_is_refused_with_the_line():
    with pytest.raises(RuleError) as refused:
        read_questions(_set(QUESTION.replace("not_sure", "unsure")))

    assert refused.value.line == 8  # the question's own header


def test_all_faults_of_a_rule_set_are_told_each_with_its_line():
    raw = _set(
        QUESTION.replace('"P12D"', '"PT12H"'),
        AGE.replace('"Q2"', '"C2"').replace("17", "0"),
        SOON.replace("dose = 2", "dose = 3").replace('"tale"', '"rumour"'),
    )

    assert _faults(raw) == [
        ("ambiguous-duration", "screening.0.wait", 14),
        ("missing-item", "screening.1.item", 19),
        ("wrong-value", "screening.1.ask_if.age_below", 23),
        ("wrong-value", "screening.2.ask_if.dose", 34),
        ("missing-source", "screening.2.source", 37),
    ]


@pytest.mark.parametrize(
    ("question", "key"),
    [
        (QUESTION.replace('"not-today"', '"refer"'), "wait"),
        (QUESTION.replace('"refer"', '"give-15"'), "not_sure"),
        (QUESTION.replace('"refer"', '"give-30"'), "not_sure"),
        (AGE.replace('"refer"', '"not-today"'), "not_sure"),
        (AGE.replace("age_below = 17", "dose = 1"), "ask_if"),
        (AGE.replace("age_below = 17", "age_from = -1, age_below = 17"), "ask_if.age_from"),
        (AGE.replace("age_below = 17", "age_from = 17, age_below = 17"), "ask_if.age_below"),
        (SOON.replace('wait = "P20D"\n', "").replace("less than {wait} ago", "recent"), "wait"),
        (QUESTION.replace("{wait}?", "{delay}?"), "ask.en"),
        (QUESTION.replace('"P12D"', '"P0D"'), "wait"),
    ],
    ids=[
        *("a wait that nothing waits for", "not sure is milder than a wait"),
        *("not sure gives", "not sure is milder than not given", "no age to derive from"),
        *("an age below none", "an age nobody has", "no days to derive from"),
        *("a figure there is not", "a wait of no time"),
    ],
)
def test_what_would_make_an_answer_unsafe_is_a_fault(question, key):
    assert f"screening.0.{key}" in [fault[1] for fault in _faults(_set(question))]


@pytest.mark.parametrize("outcome", ["refer", "contraindicated", "not-today"])
def test_not_sure_may_be_as_a_yes_or_stricter(outcome):
    assert not _faults(_set(QUESTION.replace('"refer"', f'"{outcome}"')))


@pytest.mark.parametrize("unsure", ["refer", "contraindicated"])
def test_not_sure_of_a_contraindication_may_be_referred(unsure):
    question = AGE.replace('"not-given"', '"contraindicated"').replace('"refer"', f'"{unsure}"')

    assert not _faults(_set(question))


def test_an_age_may_be_counted_from_the_first_year():
    assert not _faults(
        _set(AGE.replace("{ask_if.age_below}", "old").replace("age_below = 17", "age_from = 0"))
    )


def test_the_days_to_the_second_dose_are_those_of_the_schedule():
    (fault,) = examined((PROTOCOL + SOON).encode()).faults

    assert fault.says == "screening.0.wait is P20D, and schedule.dose_2.earliest is P21D"
    assert not examined((PROTOCOL + SOON.replace("P20D", "P21D")).encode()).faults


def test_an_item_of_a_rule_set_is_used_once():
    assert ("missing-item", "screening.1.item", 19) in _faults(
        _set(QUESTION, AGE.replace('"Q2"', '"Q1"'))
    )


def test_a_broken_outcome_is_said_once_and_nothing_is_compared_with_it():
    faults = _faults(_set(QUESTION.replace('yes = "not-today"', 'yes = "perhaps"')))

    assert faults == [("wrong-type", "screening.0.yes", 12)]
