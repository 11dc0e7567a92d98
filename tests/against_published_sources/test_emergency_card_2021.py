"""
The emergency card against "Interim considerations: preparing for the management of
anaphylaxis", Centers for Disease Control and Prevention, December 2020, 2021, read in copies:
0.3 mg for adults, 0.5 mg the most, 0.01 mg/kg, again about every 5 to 15 min, three doses.

The doses by weight are those figures multiplied by hand.
"""

import re
from decimal import Decimal

import pytest
from tests.cast import CHICAGO, at

from thawline.adapters import rule_files
from thawline.base.instants import exactly
from thawline.observe.emergency import card_lines, dose_for, millilitres, next_dose
from thawline.rules.slips import shown

EDITIONS = ("published-2021-02", "published-2021-12", "published-2022", "example-10")


@pytest.fixture(params=EDITIONS)
def card(request):
    return rule_files.load(request.param, None).protocol.anaphylaxis


@pytest.mark.parametrize(
    ("kg", "mg"),
    [
        ("10", "0.10"),
        ("20", "0.20"),
        ("30", "0.30"),
        ("45", "0.45"),
        ("50", "0.50"),
        ("50.1", "0.50"),
        ("90", "0.50"),
    ],
)
def test_epinephrine_by_weight_stops_at_half_a_milligram(card, kg, mg):
    assert dose_for(Decimal(kg), card) == Decimal(mg)
    assert millilitres(Decimal(mg), card) == Decimal(mg)  # 1 mg/mL


def test_the_adult_dose_of_the_kit_is_three_tenths_and_needs_no_weight(card):
    assert card.adult.mg == Decimal("0.3")
    assert "Adult dose: 0.3 mg = 0.3 mL of 1 mg/mL." in [says for says, _ in card_lines(card)]


def test_no_amount_ends_in_a_zero(card):
    """ISMP, list of error-prone abbreviations and dose designations: trailing zeros; memory."""
    said = " ".join(says for says, _ in card_lines(card))
    assert not re.search(r"\d\.\d*0\b", said)
    assert [shown(dose_for(Decimal(kg), card)) for kg in ("10", "30", "90")] == [
        "0.1",
        "0.3",
        "0.5",
    ]


def test_the_next_dose_is_5_to_15_minutes_after_the_last(card):
    window = next_dose(exactly(at("10:00")), card.again, CHICAGO)
    assert (window.opens, window.closes) == (at("10:05"), at("10:15"))


def test_three_doses_are_there_at_all_times(card):
    assert card.kit.least_doses == 3


def test_the_card_says_position_call_and_who_decides(card):
    text = " ".join(says for says, _ in card_lines(card))
    assert "flat with feet raised" in text
    assert "Call emergency medical services" in text
    assert "Standing orders and licensed practice decide" in text
