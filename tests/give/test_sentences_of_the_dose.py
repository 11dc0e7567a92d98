"""
The whole of what is said of the dose in hand: the fact, what to do, and the item.

A sentence that is cut, or an item that is lost, is what a nurse would act on or look up.
"""

from datetime import datetime, timedelta

import pytest
from tests.give.chair import CHICAGO, NOON, chair, dose, said

from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, instant
from thawline.give.breach import Breach
from thawline.give.facts import Became

STOP, CHECK = Level.STOP, Level.CHECK
KEEP = "Put it in the hold tray, cold and apart, do not discard; tell the vaccine coordinator."
HANDLED = (Finding(STOP, "held", "HK47M is held: shaken", "C9"),)
BELOW = (Finding(STOP, "refrozen", "HK47M went back into a freezer", "T1"),)
UNNAMED = (Finding(STOP, "refrozen", "it went back into a freezer", "T1"),)


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
    assert said(code, dose=dose(**in_hand)) == (level, says, item)


@pytest.mark.parametrize(
    ("in_hand", "begins", "item"),
    [
        ({"held": "shaken"}, "Syringe HK47M-07 is ", None),
        ({"handling": HANDLED}, "Syringe HK47M-07, vial HK47M: HK47M is held: shaken.", "C9"),
    ],
)
def test_a_held_dose_is_kept_cold_and_apart_and_the_coordinator_told(in_hand, begins, item):
    level, says, said_item = said("held", dose=dose(**in_hand))

    assert (level, said_item) == (STOP, item)
    assert says.startswith(begins)
    assert says.endswith(KEEP)


def test_a_day_before_or_after_today_is_told_with_its_date():
    late = Instant(NOON - timedelta(days=1))
    _, says, _ = said("past-use-by", dose=dose(use_by=late, opened=None))

    assert "Use by 2026-03-02 12:00, now 12:00." in says


def test_the_date_is_that_of_the_site_and_not_of_greenwich():
    evening = instant(datetime(2026, 3, 3, 20, tzinfo=CHICAGO))  # 02:00 on the 4th in Greenwich
    earlier = instant(datetime(2026, 3, 3, 17, tzinfo=CHICAGO))  # 23:00 on the 3rd there
    told = dose(use_by=earlier, opened=None)
    _, says, _ = said("past-use-by", dose=told, chair=chair(now=evening))

    assert "Use by 17:00, now 20:00." in says


def test_a_lot_of_another_table_names_all_the_lots_of_this_one():
    _, says, _ = said(
        "lot-of-another-table",
        dose=dose(lot="ZZ-2222"),
        chair=chair(lots=("ZZ-1041", "ZZ-1107")),
    )

    assert "at this table it is ZZ-1041, ZZ-1107." in says


def test_after_the_needle_a_check_tells_the_fact_and_asks_for_nothing():
    after = Breach(Level.CHECK, "needs-help", "Help needed: wheelchair.", "Fetch one.").after()

    assert after == Finding(Level.CHECK, "needs-help", "Help needed: wheelchair.", None)
