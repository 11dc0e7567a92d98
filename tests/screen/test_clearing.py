"""What a clinical lead may clear: a referral, and nothing else that speaks against the dose."""

import pytest

from thawline.rules.questions import Outcome
from thawline.screen.clearing import CLEARED, cleared


def test_a_referral_is_cleared_to_give_with_the_longer_stay():
    assert cleared(Outcome.REFER, [("Q4", Outcome.REFER), ("Q16", Outcome.GIVE_15)]) == ()
    assert CLEARED.observe_min == 30


@pytest.mark.parametrize("outcome", [o for o in Outcome if o is not Outcome.REFER])
def test_no_other_outcome_can_be_cleared(outcome):
    (stop,) = cleared(outcome, [("Q1", outcome)])

    assert stop.code == "not-a-referral"
    assert (
        stop.says == f"Only a referral can be cleared; the screening came to {outcome.value}."
    )


@pytest.mark.parametrize("beside", ["not-given", "not-today"])
def test_a_wait_or_an_age_beside_the_referral_stands(beside):
    (stop,) = cleared(Outcome.REFER, [("Q4", Outcome.REFER), ("Q15", Outcome(beside))])

    assert (stop.code, stop.item) == ("more-than-a-referral", "Q15")
    assert stop.says == f"Q15 leads to {beside} by itself, and that is not cleared."
