"""Whether the screening of a file is the published one; a made-up edition, all figures ours."""

import pytest
from tests.rules.test_asking import AGE, QUESTION, SOON, _set

from thawline.base.findings import Level
from thawline.rules.audit import audit
from thawline.rules.published import read_published
from thawline.rules.reading import examined

PRINTED = read_published(
    b"""
superseded = []
[editions.first]
effective_from = 2020-01-01T00:00:00Z
[editions.first.figures]
"screening.Q1.yes" = { leads_to = "not-today", source = "tale" }
"screening.Q1.not_sure" = { leads_to = "refer", source = "tale" }
"screening.Q1.wait" = { lasts = "P12D", source = "tale" }
"screening.Q2.yes" = { leads_to = "not-given", source = "tale" }
"screening.Q2.ask_if.age_below" = { value = 17, source = "tale" }
"screening.Q3.ask_if.dose" = { value = 2, source = "tale" }
[editions.second]
effective_from = 2022-01-01T00:00:00Z
builds_on = "first"
[editions.second.figures]
"screening.Q1.yes" = { leads_to = "give-15", source = "tale" }
"screening.Q1.not_sure" = { leads_to = "give-15", source = "tale" }
[sources.tale]
kind = "invented for the demo"
"""
)


def _slips(*questions: str):
    return audit(examined(_set(*questions)), PRINTED)


def test_nothing_is_said_of_the_questions_as_they_are_in_print():
    assert _slips(QUESTION, AGE, SOON) == ()


@pytest.mark.parametrize(
    ("changed", "key", "item", "says"),
    [
        (
            QUESTION.replace('not_sure = "refer"', 'not_sure = "not-today"'),
            "screening.0.not_sure",
            "Q1",
            "Q1: screening.0.not_sure is not-today; published first: refer",
        ),
        (
            QUESTION.replace("P12D", "P11D"),
            "screening.0.wait",
            "Q1",
            "Q1: screening.0.wait is P11D; published first: P12D",
        ),
    ],
    ids=["a milder outcome", "a shorter wait"],
)
def test_what_is_milder_than_print_stops_and_names_the_question(changed, key, item, says):
    (slip,) = _slips(changed, AGE, SOON)

    assert (slip.code, slip.level, slip.key) == ("differs-from-source", Level.STOP, key)
    assert (slip.item, slip.says) == (item, says)


@pytest.mark.parametrize(
    "changed",
    [AGE.replace("17", "16"), SOON.replace("dose = 2", "dose = 1")],
    ids=["a lower age", "another dose"],
)
def test_fewer_people_asked_than_in_print_stops(changed):
    rest = [q for q in (QUESTION, AGE, SOON) if q.split("\n")[2] != changed.split("\n")[2]]

    assert [slip.level for slip in _slips(*rest, changed)] == [Level.STOP]


def test_what_is_stricter_than_print_is_said_once_for_all_questions():
    (slip,) = _slips(QUESTION.replace("P12D", "P13D"), AGE.replace("17", "18"), SOON)

    assert (slip.level, slip.key) == (Level.CHECK, "screening")
    assert slip.says == (
        "screening, against published first; stricter or asked of more people: Q1, Q2"
    )


def test_questions_that_are_not_asked_are_named():
    (slip,) = _slips(QUESTION)

    assert slip.says == "screening, against published first; not asked: Q2, Q3"


def test_a_wait_ends_with_the_outcome_that_waited():
    later = QUESTION.replace("not-today", "give-15").replace("refer", "give-15")
    later = later.replace('wait = "P12D"\n', "").replace("{wait}", "weeks")
    raw = _set(later, AGE, SOON).replace(b"2021-06-01", b"2022-06-01")

    assert audit(examined(raw), PRINTED) == ()
