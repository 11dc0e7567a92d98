"""
The whole of what is said of a person at the chair: the fact, what to do, and the item.

A sentence that is cut, or an item that is lost, is what a nurse would act on or look up.
"""

from datetime import date, timedelta

import pytest
from tests.give.chair import NOON, TODAY, chair, codes, found, person, said

from thawline.base.findings import Level
from thawline.base.instants import Instant
from thawline.give.facts import ToCome, Unanswered

STOP, ACT, CHECK = Level.STOP, Level.ACT, Level.CHECK
FIRST = date(2026, 2, 3)
DUE = ToCome(FIRST, date(2026, 3, 5))


@pytest.mark.parametrize(
    ("code", "someone", "level", "says", "item"),
    [
        (
            "person-not-known",
            {"known": False},
            STOP,
            "No person 'DEMO-004217' is on record here. Scan the card again, or register the "
            "person at the front desk.",
            None,
        ),
        (
            "first-dose-undated",
            {"undated": True},
            STOP,
            "A dose told from a card has no date that can be read. Type its date from the card "
            "before anything is given.",
            "B1",
        ),
        (
            "dose-today",
            {"doses_on": (TODAY,)},
            STOP,
            "A dose is on record for today, 2026-03-03. Give none; ask the clinical lead.",
            "B1",
        ),
        (
            "dose-dated-later",
            {"doses_on": (date(2026, 3, 9), date(2026, 3, 5))},
            STOP,
            "A dose on 2026-03-05 is on record, after 2026-03-03: one of the two dates is "
            "wrong. Look at the card, and correct the one that is wrong.",
            "B1",
        ),
        (
            "too-early",
            {"doses_on": (FIRST,), "to_come": DUE, "dose_number": 2},
            STOP,
            "The second dose is due on or after 2026-03-05; today, day 28, is 2 days before. "
            "Give none today. Book a place from that day on.",
            "B1",
        ),
        (
            "already-two-doses",
            {"doses_on": (date(2026, 1, 2), FIRST), "dose_number": 2},
            STOP,
            "2 doses are on record, the last on 2026-02-03. Give no further dose; ask the "
            "clinical lead.",
            "B1",
        ),
        (
            "first-dose-not-known",
            {"dose_number": 2},
            STOP,
            "Dose 2 was asked for, and no dose is on record. Type the first dose from the "
            "card, or give dose 1.",
            "B1",
        ),
        (
            "dose-number-differs",
            {"doses_on": (date(2026, 1, 2),), "dose_number": 1},
            CHECK,
            "Dose 1 was asked for; by the record it is dose 2. Look at the card.",
            "B1",
        ),
        (
            "not-screened",
            {"screening": None},
            STOP,
            "DEMO-004217 has no screening of today. Ask the screening questions, or name who "
            "did and with which outcome.",
            None,
        ),
        (
            "screened-not-to-give",
            {"screening": "refer"},
            STOP,
            "The screening of DEMO-004217 ended with 'refer'. Give none here; the clinical "
            "lead will explain.",
            None,
        ),
        ("needs-help", {"needs": "wheelchair"}, CHECK, "Help needed: wheelchair.", None),
        (
            "screening-advice",
            {"advice": (("Q7", "Press for two minutes."),)},
            CHECK,
            "From the screening: Press for two minutes.",
            "Q7",
        ),
    ],
)
def test_what_is_said_of_the_person(code, someone, level, says, item):
    assert said(code, person=person(**someone)) == (level, says, item)


@pytest.mark.parametrize(("station", "where"), [("chair 3", " at chair 3"), ("", "")])
def test_a_check_that_nobody_answered_names_person_time_and_place(station, where):
    before = Instant(NOON - timedelta(minutes=20))
    waiting = chair(station=station, unanswered=(Unanswered("DEMO-000009", before),))

    assert said("dose-not-recorded", chair=waiting) == (
        ACT,
        f"Nothing is recorded for DEMO-000009, checked 11:40{where}. Record the dose, or that "
        "none was given, before the person leaves.",
        None,
    )


def test_one_dose_and_nothing_more_to_come_is_no_second_dose_on_record():
    told = found(person=person(doses_on=(FIRST,), dose_number=2))

    assert "already-two-doses" not in codes(told)
