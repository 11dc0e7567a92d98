"""Who may have a place by age; Example-10 (made up) gives no dose under 18."""

from datetime import date

import pytest

from thawline.adapters.rule_files import shipped
from thawline.base.errors import RecordError
from thawline.rebook.ages import age_findings
from thawline.rules.questions import AskIf, Known, Outcome, Question
from thawline.rules.reading import read_protocol
from thawline.rules.wordings import Words

DAY = date(2026, 2, 3)
QUESTIONS = read_protocol(shipped("example-10-v2")).protocol.screening


def _question(**changed):
    said = {
        "item": "Q15",
        "ask": Words(en="Your age?"),
        "yes": Outcome.NOT_GIVEN,
        "not_sure": Outcome.REFER,
        "says": Words(en="Not this age."),
        "source": "demo",
        "derived_from": Known.BIRTH_DATE,
        "ask_if": AskIf(age_below=18),
    }
    return Question(**{**said, **changed})


@pytest.mark.parametrize(
    ("born", "items"),
    [
        (date(2008, 2, 3), []),
        (date(2008, 2, 4), ["Q15"]),
        (date(1906, 1, 1), []),
    ],
    ids=["18 today", "18 tomorrow", "120"],
)
def test_the_birthday_itself_is_old_enough(born, items):
    assert [found.item for found in age_findings(born, DAY, QUESTIONS)] == items


def test_it_says_the_age_and_the_day():
    (found,) = age_findings(date(2009, 7, 1), DAY, QUESTIONS)

    assert found.says == "16 years old on 2026-02-03. Under 18 years old: no dose here."


@pytest.mark.parametrize(("day", "against"), [(28, 1), (1, 0)])
def test_born_on_29_february_one_is_18_on_1_march(day, against):
    # Maryland Code, General Provisions, section 1-303(b), read in a copy on 2026-11-27: an
    # individual born on February 29 attains an age on March 1 of a year that is no leap year.
    month = 2 if day == 28 else 3

    found = age_findings(date(2008, 2, 29), date(2026, month, day), QUESTIONS)

    assert len(found) == against


@pytest.mark.parametrize(
    ("question", "against"),
    [
        (_question(yes=Outcome.REFER), 0),
        (_question(yes=Outcome.GIVE_30), 0),
        (_question(derived_from=None), 0),
        (_question(ask_if=None), 0),
        (_question(ask_if=AskIf(age_from=16, age_below=18)), 1),
        (_question(ask_if=AskIf(age_from=17, age_below=18)), 0),
        (_question(ask_if=AskIf(age_from=16)), 1),
        (_question(yes=Outcome.CONTRAINDICATED), 1),
    ],
)
def test_only_an_age_that_gets_no_dose_is_against_a_place(question, against):
    assert len(age_findings(date(2009, 7, 1), DAY, [question])) == against


@pytest.mark.parametrize(
    ("born", "says"),
    [(date(2026, 2, 4), "a birth date after 2026-02-03"), (date(1896, 2, 3), "an age of 130")],
)
def test_nobody_is_born_tomorrow_or_130_years_old(born, says):
    with pytest.raises(RecordError, match=says):
        age_findings(born, DAY, QUESTIONS)
