"""Comparing a person with what is kept, and what the desk knows of a day. Invented names."""

from datetime import date

import pytest
from tests.app.chairs import MARSH, at_the_desk, book
from tests.cast import CHICAGO, a_day, at

from thawline.app.acts import act
from thawline.app.doses import not_given
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseNotGiven
from thawline.ledger.person_events import ConsentAnswered, PersonAmended, PersonArrived
from thawline.person.desk import (
    DESK,
    Compared,
    DeskState,
    Met,
    Said,
    agreement,
    last_consent,
    last_met,
    standing,
    stricter_consent,
    stricter_met,
    was_seen_on,
)
from thawline.person.likeness import Identity

BORN = date(1951, 1, 20)
KEPT = Identity("Bryony Testwick", BORN, "555-0142")
TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)
NOON = at("12:00")


@pytest.mark.parametrize(
    ("said", "agreed", "differed", "compared"),
    [
        (Identity("Testwick, Bryony", BORN), ("name", "born"), (), Compared.AGREES),
        (Identity("Bryony Testwick", None, "5550142"), ("name", "phone"), (), Compared.AGREES),
        (Identity("", BORN, "5550142"), ("born", "phone"), (), Compared.AGREES),
        (Identity("Bryony Test-Wick", BORN), ("name", "born"), (), Compared.AGREES),
        (Identity("Bryony Test-Wick"), ("name",), (), Compared.TOO_FEW),
        (Identity("Bryony Testwick"), ("name",), (), Compared.TOO_FEW),
        (Identity(""), (), (), Compared.TOO_FEW),
        (
            Identity("Bryony Testwick", date(1951, 1, 21)),
            ("name",),
            ("born",),
            Compared.DIFFERS,
        ),
        (
            Identity("Bryony Loom", BORN, "5550142"),
            ("born", "phone"),
            ("name",),
            Compared.DIFFERS,
        ),
        (Identity("Bryony Testwick", BORN, "1"), ("name", "born"), ("phone",), Compared.AGREES),
        (Identity("Bryony Testwick", None, "1"), ("name",), ("phone",), Compared.TOO_FEW),
    ],
)
def test_two_identifiers_must_agree_and_name_and_birth_date_must_not_differ(
    said, agreed, differed, compared
):
    assert agreement(said, KEPT) == (agreed, differed)
    assert standing(agreed, differed) is compared


def test_what_is_not_kept_neither_agrees_nor_differs():
    assert agreement(KEPT, Identity("Bryony Testwick")) == (("name",), ())


def _known(day):
    return day.one(DESK, MARSH)


def test_a_comparison_and_a_consent_count_on_their_own_day_only():
    day = a_day(vials=0)
    book(day, MARSH)

    found = [
        (last_met(_known(day), by, CHICAGO), last_consent(_known(day), by, CHICAGO))
        for by in (at("23:59"), at("23:59", 4))
    ]

    assert [met is not None for met, _ in found] == [True, False]
    assert [said is not None for _, said in found] == [True, False]


def test_the_last_word_on_consent_counts():
    day = a_day(vials=0)
    book(day, MARSH)
    at_the_desk(day, MARSH, answer="withdrawn")

    assert last_consent(_known(day), NOON, CHICAGO).answer == "withdrawn"


def _typed(day, event, clock):
    """Record at noon what happened earlier, as from a paper form."""
    day.now = at("12:00")
    doing = day.doing(occurred=exactly(at(clock)))
    act(day.site, doing, {"command": "x"}, lambda _view: Decision(event), kind=Kind.FACT)


def test_an_earlier_yes_that_is_typed_in_later_does_not_replace_a_yes_taken_back():
    day = a_day(vials=0)
    for answer, clock in (("withdrawn", "09:00"), ("yes", "08:40")):
        _typed(day, ConsentAnswered(person=MARSH, answer=answer, whose="self"), clock)

    assert last_consent(_known(day), NOON, CHICAGO).answer == "withdrawn"


def test_an_earlier_comparison_that_is_typed_in_later_does_not_replace_a_difference():
    day = a_day(vials=0)
    for differed, clock in ((("born",), "09:00"), ((), "08:30")):
        _typed(day, PersonArrived(person=MARSH, agreed=("name",), differed=differed), clock)

    assert last_met(_known(day), NOON, CHICAGO).differed == ("born",)


@pytest.mark.parametrize(
    ("agreed", "differed"), [(("name", "born"), ()), (("name",), ())], ids=["agrees", "too few"]
)
def test_of_two_comparisons_of_one_minute_the_one_that_differs_counts(agreed, differed):
    day = a_day(vials=0)
    _typed(day, PersonArrived(person=MARSH, agreed=("born",), differed=("name",)), "09:00")
    _typed(day, PersonArrived(person=MARSH, agreed=agreed, differed=differed), "09:00")

    assert last_met(_known(day), NOON, CHICAGO).differed == ("name",)


def test_a_comparison_before_what_is_kept_was_put_right_does_not_count():
    day = a_day(vials=0)
    _typed(day, PersonArrived(person=MARSH, agreed=("name", "born")), "09:00")
    _typed(day, PersonAmended(person=MARSH, fields=("born",)), "09:10")
    assert last_met(_known(day), NOON, CHICAGO) is None

    _typed(day, PersonArrived(person=MARSH, agreed=("name", "born")), "09:20")
    assert last_met(_known(day), NOON, CHICAGO).agreed == ("name", "born")


def _ms(clock):
    return to_ms(at(clock))


def test_what_stands_against_a_comparison_or_a_yes_that_is_typed_in():
    day = a_day(vials=0)
    _typed(day, PersonArrived(person=MARSH, agreed=(), differed=("name",)), "09:00")
    _typed(day, ConsentAnswered(person=MARSH, answer="no", whose="self"), "09:00")
    met = Met(_ms("08:40"), _ms("08:40"), ("name", "born"), (), (), walk_up=False)
    yes = Said(_ms("08:40"), _ms("08:40"), "yes", "self", "")

    assert stricter_met(_known(day), met, CHICAGO).differed == ("name",)
    assert stricter_consent(_known(day), yes, CHICAGO).answer == "no"
    assert (stricter_met(None, met, CHICAGO), stricter_consent(None, yes, CHICAGO)) == (
        *(None, None),
    )


def test_nobody_is_known_before_they_came():
    assert last_met(None, NOON, CHICAGO) is None
    assert last_consent(None, NOON, CHICAGO) is None
    assert not was_seen_on(DeskState(), TUESDAY, CHICAGO)


def test_who_left_without_a_dose_was_seen_that_day():
    day = a_day(vials=0)
    book(day, MARSH)
    wednesday = exactly(at("10:00", 4))
    day.now = wednesday.hi
    not_given(day.site, day.doing(occurred=wednesday), MARSH)

    assert was_seen_on(_known(day), WEDNESDAY, CHICAGO)
    assert not was_seen_on(_known(day), date(2026, 2, 5), CHICAGO)


def _came(day, *asked):
    return was_seen_on(_known(day), TUESDAY, CHICAGO, [to_ms(at(clock)) for clock in asked])


@pytest.mark.parametrize(
    ("met", "came"),
    [
        ({"agreed": ("name", "born")}, True),
        ({"agreed": ("name",)}, False),
        ({"agreed": ("name",), "differed": ("born",)}, False),
        ({"agreed": ("name",), "walk_up": True}, True),
        ({"agreed": ("name",), "differed": ("born",), "walk_up": True}, False),
    ],
    ids=["agrees", "too few", "differs", "a walk-up", "a walk-up under another's code"],
)
def test_who_came_is_who_agrees_by_two_identifiers_or_walks_in(met, came):
    day = a_day(vials=0)
    _typed(day, PersonArrived(person=MARSH, **met), "09:00")

    assert _came(day) is came


def test_asked_or_sent_away_under_a_code_that_differed_is_not_having_come():
    day = a_day(vials=0)
    assert _came(day, "09:10")
    _typed(day, PersonArrived(person=MARSH, agreed=("name",), differed=("born",)), "09:00")
    _typed(day, DoseNotGiven(person=MARSH, why="not said"), "09:05")

    assert not _came(day, "09:10")


def test_who_agreed_and_was_mixed_up_with_another_later_did_come():
    day = a_day(vials=0)
    _typed(day, PersonArrived(person=MARSH, agreed=("name", "born")), "09:00")
    _typed(day, PersonArrived(person=MARSH, agreed=("name",), differed=("born",)), "10:00")

    assert _came(day)
