"""
The whole of what is said at the chair: the fact, what to do, and the item it comes from.

A sentence that is cut, or an item that is lost, is what a nurse would act on or look up.
"""

from datetime import date, datetime, timedelta

import pytest
from tests.give.chair import CHICAGO, NOON, TODAY, chair, dose, found, person

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, instant
from thawline.give.facts import Became, ToCome, Unanswered

STOP, ACT, CHECK = Level.STOP, Level.ACT, Level.CHECK
KEEP = "Put it in the hold tray, cold and apart, do not discard; tell the vaccine coordinator."
FIRST = date(2026, 2, 3)
DUE = ToCome(FIRST, date(2026, 3, 5))
HANDLED = (Finding(STOP, "held", "HK47M is held: shaken", "C9"),)
BELOW = (Finding(STOP, "refrozen", "HK47M went back into a freezer", "T1"),)
UNNAMED = (Finding(STOP, "refrozen", "it went back into a freezer", "T1"),)


def _say(code, **changed):
    """Return the one finding of that code as level, sentence and item."""
    (one,) = [each for each in found(**changed) if each.code == code]
    return one.level, one.says, one.item


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
    assert _say(code, person=person(**someone)) == (level, says, item)


@pytest.mark.parametrize(
    ("code", "in_hand", "level", "says", "item"),
    [
        (
            "dose-not-known",
            {"known": False},
            STOP,
            "No syringe or vial 'HK47M-07' is on record. Scan the label again; a syringe "
            "without a label is set aside.",
            None,
        ),
        (
            "syringe-used",
            {"became": Became.GIVEN},
            STOP,
            "Syringe HK47M-07 is recorded as given. Set it aside, look at its record, scan "
            "another.",
            None,
        ),
        (
            "syringe-wasted",
            {"became": Became.WASTED},
            STOP,
            "Syringe HK47M-07 is recorded as wasted. Set it aside, look at its record, scan "
            "another.",
            None,
        ),
        (
            "syringe-missing",
            {"became": Became.MISSING},
            STOP,
            "Syringe HK47M-07 was recorded as not found. Set it aside, look at its record, "
            "scan another.",
            None,
        ),
        (
            "vial-discarded",
            {"code": "HK47M", "discarded": True},
            STOP,
            "Vial HK47M is recorded as discarded. Set it aside and scan another.",
            None,
        ),
        (
            "use-by-not-known",
            {"use_by": None},
            STOP,
            f"Nobody knows until when HK47M-07 may be used. {KEEP}",
            None,
        ),
        (
            "past-use-by",
            {"use_by": NOON},
            STOP,
            "Syringe HK47M-07 is past its use-by time. Opened 08:00. Use by 12:00, now 12:00. "
            "Set it aside. Record: thawline dose waste --syringe HK47M-07 --cause use-by",
            "C4",
        ),
        (
            "past-use-by",
            {"code": "HK47M", "use_by": NOON, "opened": None},
            STOP,
            "Vial HK47M is past its use-by time. Use by 12:00, now 12:00. Set it aside. "
            "Record: thawline vial discard HK47M --cause use-by",
            "C4",
        ),
        (
            "lot-of-another-table",
            {"lot": "ZZ-2222"},
            CHECK,
            "Lot ZZ-2222 was scanned; at this table it is ZZ-1041. Read the lot on the vial.",
            None,
        ),
        (
            "look-alike-lot",
            {"lot": "ZZ-1014"},
            STOP,
            "Lot ZZ-10[14] was scanned; at this table it is lot ZZ-10[41]. Set it aside, "
            "compare the characters in brackets, scan the right one.",
            None,
        ),
        ("refrozen", {"handling": BELOW}, STOP, "Vial HK47M went back into a freezer", "T1"),
        (
            "refrozen",
            {"handling": UNNAMED},
            STOP,
            "Vial HK47M: it went back into a freezer",
            "T1",
        ),
    ],
)
def test_what_is_said_of_the_dose_in_hand(code, in_hand, level, says, item):
    assert _say(code, dose=dose(**in_hand)) == (level, says, item)


@pytest.mark.parametrize(
    ("in_hand", "begins", "item"),
    [
        ({"held": "shaken"}, "Syringe HK47M-07 is ", None),
        ({"handling": HANDLED}, "Syringe HK47M-07, vial HK47M: HK47M is held: shaken.", "C9"),
    ],
)
def test_a_held_dose_is_kept_cold_and_apart_and_the_coordinator_told(in_hand, begins, item):
    level, says, said_item = _say("held", dose=dose(**in_hand))

    assert (level, said_item) == (STOP, item)
    assert says.startswith(begins)
    assert says.endswith(KEEP)


def test_a_day_before_or_after_today_is_told_with_its_date():
    late = Instant(NOON - timedelta(days=1))
    _, says, _ = _say("past-use-by", dose=dose(use_by=late, opened=None))

    assert "Use by 2026-03-02 12:00, now 12:00." in says


def test_the_date_is_that_of_the_site_and_not_of_greenwich():
    evening = instant(datetime(2026, 3, 3, 20, tzinfo=CHICAGO))  # 02:00 on the 4th in Greenwich
    earlier = instant(datetime(2026, 3, 3, 17, tzinfo=CHICAGO))  # 23:00 on the 3rd there
    told = dose(use_by=earlier, opened=None)
    _, says, _ = _say("past-use-by", dose=told, chair=chair(now=evening))

    assert "Use by 17:00, now 20:00." in says


@pytest.mark.parametrize(("station", "where"), [("chair 3", " at chair 3"), ("", "")])
def test_a_check_that_nobody_answered_names_person_time_and_place(station, where):
    before = Instant(NOON - timedelta(minutes=20))
    waiting = chair(station=station, unanswered=(Unanswered("DEMO-000009", before),))

    assert _say("dose-not-recorded", chair=waiting) == (
        ACT,
        f"Nothing is recorded for DEMO-000009, checked 11:40{where}. Record the dose, or that "
        "none was given, before the person leaves.",
        None,
    )


def test_one_dose_and_nothing_more_to_come_is_no_second_dose_on_record():
    told = [each.code for each in found(person=person(doses_on=(FIRST,), dose_number=2))]

    assert "already-two-doses" not in told
