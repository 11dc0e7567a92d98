"""
Needle lengths for the adult upper arm, against the printed table.

Immunize.org, "Administering Vaccines to Adults", as read in a copy; the same cut-offs with
kilograms in Family Practice Notebook; both after Table 6-2 of the General Best Practice
Guidelines. As the check tables of 2026-11-25 give it. Rows 14 and 15 of the clinical check
table. The printed boundaries are loose ("153-200", "200+"): decision 0032 fixes them.
"""

from decimal import Decimal

import pytest

from thawline.adapters.rule_files import load
from thawline.app.calculators import needle_length

RULES = load("published-2022").protocol


def _pounds(sex: str, weight: str):
    row = needle_length(sex, Decimal(weight), None, RULES)
    return row.shortest_in, row.longest_in


def _kilograms(sex: str, weight: str):
    row = needle_length(sex, None, Decimal(weight), RULES)
    return row.shortest_in, row.longest_in


ONE = (Decimal(1), Decimal(1))
ONE_AND_A_HALF = (Decimal("1.5"), Decimal("1.5"))
EITHER = (Decimal(1), Decimal("1.5"))
FIVE_EIGHTHS_OR_ONE = (Decimal("0.625"), Decimal(1))


@pytest.mark.parametrize(
    ("sex", "weight", "lengths"),
    [
        ("F", "129", FIVE_EIGHTHS_OR_ONE),
        ("F", "130", ONE),
        ("F", "152", ONE),
        ("F", "153", EITHER),
        ("F", "200", EITHER),
        ("F", "201", ONE_AND_A_HALF),
        ("M", "129", FIVE_EIGHTHS_OR_ONE),
        ("M", "152", ONE),
        ("M", "153", EITHER),
        ("M", "260", EITHER),
        ("M", "261", ONE_AND_A_HALF),
    ],
)
def test_pounds_give_the_printed_length(sex, weight, lengths):
    assert _pounds(sex, weight) == lengths


@pytest.mark.parametrize(
    ("sex", "weight", "lengths"),
    [
        ("F", "59", FIVE_EIGHTHS_OR_ONE),
        ("F", "60", ONE),
        ("F", "70", ONE),
        ("F", "71", EITHER),
        ("F", "90", EITHER),
        ("F", "91", ONE_AND_A_HALF),
        ("M", "71", EITHER),
        ("M", "118", EITHER),
        ("M", "119", ONE_AND_A_HALF),
    ],
)
def test_kilograms_give_the_printed_length(sex, weight, lengths):
    assert _kilograms(sex, weight) == lengths


def test_the_shorter_needle_has_its_printed_condition():
    row = needle_length("F", Decimal(129), None, RULES)

    assert "stretched flat" in row.condition
    assert "90 degrees" in row.condition
