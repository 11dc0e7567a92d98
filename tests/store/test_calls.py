"""Whom to call and when: everybody here is invented, with numbers of the fiction range."""

from datetime import timedelta
from itertools import islice

import pytest
from tests.cast import BRYONY, CHICAGO, ROWAN, SORREL, at

from thawline.store.calls import (
    Answered,
    Called,
    calls,
    due_calls,
    owner,
    printed_chain,
    short_name,
)

CHAIN = (
    Called(SORREL, "vaccine coordinator", "555-0101"),
    Called(ROWAN, "site lead", "555-0102"),
    Called(BRYONY, "clinical lead", "555-0103"),
)
RAISED = at("02:14")
TEN = timedelta(minutes=10)


def who_by(now, *answers, next_after=TEN):
    """Return whom somebody calls until the moment, with when they became due."""
    due = due_calls(calls(CHAIN, RAISED, next_after, answers), at(now))
    return [(call.who.name, call.at) for call in due]


@pytest.mark.parametrize(
    ("now", "due"),
    [("02:13", []), ("02:14", [SORREL]), ("02:23", [SORREL]), ("02:24", [SORREL, ROWAN])],
    ids=["before the alert", "at it", "a minute before the next", "when the next is due"],
)
def test_the_next_is_due_when_the_time_to_answer_has_passed(now, due):
    assert [name for name, _ in who_by(now)] == due


def test_nobody_else_is_due_once_somebody_took_it_on():
    on_my_way = Answered(SORREL, at("02:19"))

    assert who_by("05:00", on_my_way) == [(SORREL, at("02:14"))]


@pytest.mark.parametrize(("answered", "called"), [("02:24", 1), ("02:25", 2)])
def test_an_answer_at_the_limit_itself_is_in_time(answered, called):
    assert len(who_by("05:00", Answered(SORREL, at(answered)))) == called


def test_who_cannot_go_passes_it_on_at_once():
    cannot_go = Answered(SORREL, at("02:16"), takes=False)

    assert who_by("02:16", cannot_go) == [(SORREL, at("02:14")), (ROWAN, at("02:16"))]


def test_who_said_no_before_their_turn_is_passed_over_when_it_comes():
    cannot_go = Answered(ROWAN, at("02:16"), takes=False)

    assert who_by("02:24", cannot_go)[1:] == [(ROWAN, at("02:24")), (BRYONY, at("02:24"))]


def test_after_the_last_it_starts_again_with_the_first():
    assert who_by("02:44")[-1] == (SORREL, at("02:44"))


@pytest.mark.parametrize("next_after", [None, timedelta(0)])
def test_without_a_time_to_answer_everybody_is_due_at_once_and_once(next_after):
    due = who_by("12:00", next_after=next_after)

    assert due == [(each.name, RAISED) for each in CHAIN]


def test_a_site_without_a_chain_has_nobody_to_call():
    assert list(calls((), RAISED, TEN)) == []


def test_the_first_who_takes_it_on_owns_it():
    answers = [
        Answered(BRYONY, at("02:30")),
        Answered(ROWAN, at("02:26")),
        Answered(SORREL, at("02:16"), takes=False),
    ]

    assert owner(answers) == Answered(ROWAN, at("02:26"))
    assert owner(answers[2:]) is None


def test_the_chain_is_printed_with_who_by_when_and_their_number():
    assert printed_chain(CHAIN, RAISED, TEN, (), CHICAGO) == [
        "You call Sorrel K., vaccine coordinator, 555-0101",
        "Not answered by 02:24: you call Rowan T., site lead, 555-0102",
        "Not answered by 02:34: you call Bryony T., clinical lead, 555-0103",
    ]


def test_a_person_with_one_name_keeps_it():
    assert short_name("Linden") == "Linden"


def test_calls_come_in_the_order_of_time():
    first_five = [call.at for call in islice(calls(CHAIN, RAISED, TEN), 5)]

    assert first_five == [at(t) for t in ("02:14", "02:24", "02:34", "02:44", "02:54")]
