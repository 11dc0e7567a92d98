"""
Reactions asked for within 7 days of a dose, and what makes one serious.

New England Journal of Medicine, 30 Dec 2020, phase 3 of a two-dose vaccine, as reprinted in a
medical textbook: percent by age (18-64, 65 and over) and dose; every row is higher after dose
2, and no lower in the younger. 21 CFR 312.32(a) as listed by the CDC: the six criteria. MMWR
2021;70(18):685-688, table 1: 29 of 3,901 is 7.4 in a thousand, 8 of 593 is 13.5.
All read on 2026-11-25.
"""

import pytest

from thawline.adapters.reaction_tables import shipped
from thawline.report.intervals import rate_of
from thawline.report.reactions import Criterion, classified

ASKED = {code: each.percent for code, each in shipped().reactions.items() if each.percent}


@pytest.mark.parametrize(
    ("code", "percent"),
    [
        ("pain", [86.9, 89.9, 74.0, 83.2]),
        ("redness", [3.0, 8.9, 2.3, 7.5]),
        ("swelling", [6.7, 12.6, 4.4, 10.8]),
        ("armpit", [11.6, 16.2, 6.1, 8.5]),
        ("fatigue", [38.4, 67.6, 33.3, 58.3]),
        ("headache", [35.3, 62.8, 24.5, 46.2]),
        ("muscles", [23.7, 61.6, 19.7, 47.1]),
        ("joints", [16.6, 45.5, 16.4, 35.0]),
        ("chills", [9.2, 48.6, 5.4, 30.9]),
        ("nausea", [9.4, 21.4, 5.2, 11.8]),
        ("fever", [0.9, 17.4, 0.3, 10.0]),
    ],
)
def test_the_shipped_table_is_the_printed_one(code, percent):
    names = ("adult_1", "adult_2", "older_1", "older_2")

    assert [ASKED[code][name] for name in names] == percent


def test_every_reaction_is_commoner_after_dose_2_and_in_the_younger():
    assert len(ASKED) == 11
    assert all(row["adult_2"] > row["adult_1"] for row in ASKED.values())
    assert all(row["older_2"] > row["older_1"] for row in ASKED.values())
    assert all(row["adult_1"] >= row["older_1"] for row in ASKED.values())


def test_the_six_criteria_are_those_of_the_rule():
    assert [each.value for each in Criterion] == [
        *("death", "life-threatening", "hospital", "disability", "birth-defect", "important"),
    ]


@pytest.mark.parametrize(
    ("code", "said", "serious", "expected", "reported"),
    [
        ("fever", [], False, True, False),  # 38.5 on day 1, gone on day 2
        ("faint", [], False, True, False),  # no injury: recorded, not serious
        ("faint", ["hospital"], True, False, True),  # a fracture, admitted
        ("anaphylaxis", [], True, False, True),  # treated and sent home: an important event
        ("heart", [], False, False, True),
        ("other", [], False, None, False),
    ],
)
def test_what_a_reaction_is(code, said, serious, expected, reported):
    found = classified(shipped().reactions[code], [Criterion(word) for word in said])

    assert (found.is_serious, found.expected, found.is_reported) == (
        serious,
        expected,
        reported,
    )


@pytest.mark.parametrize(("cases", "people", "printed"), [(29, 3901, 7.4), (8, 593, 13.5)])
def test_events_at_mass_sites_per_thousand(cases, people, printed):
    assert rate_of(cases, people, 1000).rate == pytest.approx(printed, abs=0.05)


def test_each_stated_rate_names_its_cases_definition_and_source():
    rates = {(each.code, each.name): each for each in shipped().rates}

    assert (rates["anaphylaxis", "watched"].cases, rates["anaphylaxis", "watched"].doses) == (
        16,
        64_900,
    )
    assert rates["anaphylaxis", "reported"].doses == 4_041_396
    assert all(each.definition and each.source in shipped().titles for each in rates.values())
