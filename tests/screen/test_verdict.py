"""The laws of putting verdicts together, for all outcomes and any dates."""

from datetime import date
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from thawline.rules.questions import Outcome
from thawline.screen.verdict import NOTHING_AGAINST, Verdict, merged, stricter_of

DAYS = (None, date(2021, 4, 1), date(2021, 4, 2))
ALL = [Verdict(outcome, day) for outcome, day in product(Outcome, DAYS)]
VERDICTS = st.builds(Verdict, st.sampled_from(Outcome), st.none() | st.dates())
STRICTEST_FIRST = ["contraindicated", "refer", "not-given", "not-today", "give-30", "give-15"]


def _rank(verdict: Verdict) -> tuple[int, date]:
    return -STRICTEST_FIRST.index(verdict.outcome.value), verdict.until or date.min


def test_the_stricter_outcome_counts_whatever_the_other():
    for one, other in product(ALL, repeat=2):
        stricter = min((one, other), key=lambda v: STRICTEST_FIRST.index(v.outcome.value))

        assert merged(one, other).outcome == stricter.outcome


def test_of_two_dates_the_later_counts():
    early, late = (Verdict(Outcome.NOT_TODAY, day) for day in DAYS[1:])

    assert merged(early, late) == merged(late, early) == late
    assert merged(early, Verdict(Outcome.REFER)) == Verdict(Outcome.REFER, DAYS[1])


def test_the_order_of_three_verdicts_does_not_matter():
    assert all(
        merged(merged(a, b), c) == merged(a, merged(b, c)) and merged(a, b) == merged(b, a)
        for a, b, c in product(ALL, repeat=3)
    )


def test_the_same_verdict_twice_is_that_verdict_and_nothing_against_adds_nothing():
    assert all(merged(v, v) == v == merged(v, NOTHING_AGAINST) for v in ALL)


@given(VERDICTS, VERDICTS, VERDICTS)
def test_a_worse_verdict_never_makes_the_whole_milder(one, worse, other):
    if all(x >= y for x, y in zip(_rank(worse), _rank(one), strict=True)):
        together, worse_together = _rank(merged(one, other)), _rank(merged(worse, other))

        assert all(x >= y for x, y in zip(worse_together, together, strict=True))


@given(VERDICTS, VERDICTS, VERDICTS)
def test_the_laws_hold_for_any_dates(one, other, third):
    assert merged(merged(one, other), third) == merged(one, merged(other, third))
    assert merged(one, other) == merged(other, one)
    assert merged(one, one) == one


def test_what_is_named_at_the_chair_never_softens_what_is_recorded():
    assert stricter_of("refer", "give-15") == "refer"
    assert stricter_of("give-30", "give") == "give-30"
    assert stricter_of("give-15", "give-30") == "give-30"
    assert stricter_of("give-15", "refer") == "refer"
    assert stricter_of("give-15", None) == "give-15"
