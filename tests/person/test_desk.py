"""Comparing a person with what is kept, and what the desk knows of a day. Invented names."""

from datetime import date

import pytest
from tests.app.chairs import MARSH, at_the_desk, book
from tests.cast import CHICAGO, a_day, at

from thawline.app.doses import not_given
from thawline.base.instants import exactly
from thawline.person.desk import (
    DESK,
    Compared,
    DeskState,
    agreement,
    consent_on,
    met_on,
    standing,
    was_seen_on,
)
from thawline.person.likeness import Identity

BORN = date(1951, 1, 20)
KEPT = Identity("Bryony Testwick", BORN, "555-0142")
TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)


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
        (met_on(_known(day), on, CHICAGO), consent_on(_known(day), on, CHICAGO))
        for on in (TUESDAY, WEDNESDAY)
    ]

    assert [met is not None for met, _ in found] == [True, False]
    assert [said is not None for _, said in found] == [True, False]


def test_the_last_word_on_consent_counts():
    day = a_day(vials=0)
    book(day, MARSH)
    at_the_desk(day, MARSH, answer="withdrawn")

    assert consent_on(_known(day), TUESDAY, CHICAGO).answer == "withdrawn"


def test_nobody_is_known_before_they_came():
    assert met_on(None, TUESDAY, CHICAGO) is None
    assert consent_on(None, TUESDAY, CHICAGO) is None
    assert not was_seen_on(DeskState(), TUESDAY, CHICAGO)


def test_who_left_without_a_dose_was_seen_that_day():
    day = a_day(vials=0)
    book(day, MARSH)
    wednesday = exactly(at("10:00", 4))
    day.now = wednesday.hi
    not_given(day.site, day.doing(occurred=wednesday), MARSH)

    assert was_seen_on(_known(day), WEDNESDAY, CHICAGO)
    assert not was_seen_on(_known(day), date(2026, 2, 5), CHICAGO)
