"""
Recommendations table of the Centers for Disease Control and Prevention, as reprinted in the
Cleveland Clinic Journal of Medicine, March 2021: contraindications, precautions, neither, and
how long to observe. Read as an excerpt on 2026-11-25; the outcomes are typed from it.

A precaution is "consider deferral or referral"; at a mass site that is a referral (practice of
this project, point 5).
"""

from datetime import date

import pytest
from tests.against_published_sources.screened import came_to, under

MARCH_2021 = date(2021, 3, 1)


@pytest.mark.parametrize(
    ("answer", "outcome", "stay"),
    [
        ("Q1=yes", "contraindicated", None),
        ("Q2=yes", "contraindicated", None),  # immediate, any severity
        ("Q3=yes", "contraindicated", None),  # PEG; polysorbate too
        ("Q4=yes", "refer", None),  # precaution
        ("Q5=yes", "give", 30),  # anaphylaxis due to any cause
        ("Q7=yes", "give", 15),  # food, pet, venom, environmental, latex: neither
        ("Q16=no", "give", 15),  # everybody else
    ],
)
def test_the_table_of_march_2021(answer, outcome, stay):
    assert came_to("national", MARCH_2021, answer) == (outcome, stay)


def test_food_anaphylaxis_has_three_answers_in_three_rule_sets():
    answers = [
        came_to(rules, MARCH_2021, "Q5=yes") for rules in ("field-2021", "national-2021")
    ]

    assert answers == [("contraindicated", None), ("give", 30)]
    assert came_to("later-2022", MARCH_2021, "Q5=yes") == ("give", 30)


def test_mild_hives_an_hour_after_dose_1_are_judged_by_the_rules_of_the_day():
    assert came_to("national", date(2021, 1, 15), "Q2=yes") == ("contraindicated", None)
    assert came_to("national", MARCH_2021, "Q2=yes") == ("contraindicated", None)
    assert came_to("national", date(2022, 3, 1), "Q2=yes") == ("refer", None)


def test_the_published_protocols_carry_the_table_of_their_time():
    assert under("published-2021-02") == under("national-2021")
    assert under("published-2021-12") == under("national-2021")
    assert under("published-2022") == under("later-2022")
