"""What refuses a dose because of the syringe, vial or lot in hand."""

from datetime import timedelta

import pytest
from tests.give.chair import NOON, chair, codes, dose, found, person

from thawline.base.findings import Finding, Level
from thawline.give.facts import Became, ToCome
from thawline.vial.leaving import HELD


def test_a_code_nobody_knows_is_set_aside():
    (stop,) = found(dose=dose(known=False))

    assert (stop.level, stop.code) == (Level.STOP, "dose-not-known")
    assert "'HK47M-07'" in stop.says


@pytest.mark.parametrize(
    ("became", "code"),
    [
        (Became.GIVEN, "syringe-used"),
        (Became.WASTED, "syringe-wasted"),
        (Became.MISSING, "syringe-missing"),
    ],
)
def test_a_syringe_is_given_once_and_only_while_it_is_whole(became, code):
    (stop,) = found(dose=dose(became=became))

    assert (stop.level, stop.code) == (Level.STOP, code)
    assert stop.says.startswith("Syringe HK47M-07 ")


@pytest.mark.parametrize(
    ("seconds_from_limit", "stopped"),
    [(-1, False), (0, True), (1, True)],
    ids=["just before", "at the limit", "just after"],
)
def test_the_use_by_itself_is_already_too_late(seconds_from_limit, stopped):
    now = chair(now=NOON + timedelta(hours=2, seconds=seconds_from_limit))

    assert ("past-use-by" in codes(found(chair=now))) is stopped


def test_past_use_by_says_when_it_was_opened_until_when_and_what_to_record():
    (stop,) = found(chair=chair(now=NOON + timedelta(hours=2, minutes=3)))

    assert stop.item == "C4"
    assert stop.says == (
        "Syringe HK47M-07 is past its use-by time. Opened 08:00. Use by 14:00, now 14:03. "
        "Set it aside. Record: thawline dose waste --syringe HK47M-07 --cause use-by"
    )


def test_a_use_by_of_another_day_is_said_with_its_date():
    yesterday = dose(use_by=NOON - timedelta(days=1), opened=None)

    assert "Use by 2026-03-02 12:00, now 12:00." in found(dose=yesterday)[0].says


def test_a_vial_in_hand_past_its_use_by_is_discarded_as_a_vial():
    (stop,) = found(dose=dose(code="HK47M", use_by=NOON))

    assert stop.says.startswith("Vial HK47M is past its use-by time.")
    assert stop.says.endswith("thawline vial discard HK47M --cause use-by")


def test_a_use_by_that_nobody_knows_is_no_use_by():
    (stop,) = found(dose=dose(use_by=None))

    assert (stop.level, stop.code) == (Level.STOP, "use-by-not-known")


@pytest.mark.parametrize(
    ("held", "code", "why"),
    [
        ({"held": "shaken 13:31"}, "held", "shaken 13:31"),
        ({"held": ""}, "held", "no reason given"),
        ({"lot_held": "recalled"}, "lot-held", "recalled"),
        ({"lot_held": ""}, "lot-held", "no reason given"),
    ],
)
def test_a_hold_stops_with_the_words_on_its_label_and_keeps_the_dose(held, code, why):
    (stop,) = found(dose=dose(**held))

    assert (stop.level, stop.code) == (Level.STOP, code)
    assert HELD in stop.says
    assert f": {why}." in stop.says
    assert "do not discard" in stop.says


def test_a_hold_of_the_vial_reaches_every_syringe_drawn_from_it():
    hold = Finding(Level.STOP, "held", f"{HELD}: shaken")
    (stop,) = found(dose=dose(handling=(hold,)))

    assert (stop.level, stop.code) == (Level.STOP, "held")
    assert stop.says.startswith(f"Syringe HK47M-07, vial HK47M: {HELD}: shaken.")


def test_what_else_the_rules_say_of_the_vial_is_said_with_its_code_and_item():
    warming = Finding(Level.ACT, "opened-while-warming", "opened at 07:00", "T1")

    assert found(dose=dose(handling=(warming,))) == (
        Finding(Level.ACT, "opened-while-warming", "Vial HK47M: opened at 07:00", "T1"),
    )


def test_a_limit_is_said_once_and_never_dropped():
    past = Finding(Level.STOP, "past-use-by", "open ended 14:00", "C4")
    at_limit = dose(use_by=NOON, handling=(past,))

    assert codes(found(dose=at_limit)) == ["past-use-by"]
    assert codes(found(dose=dose(handling=(past,)))) == ["past-use-by"]


def test_a_discarded_vial_is_not_drawn_from():
    (stop,) = found(dose=dose(code="HK47M", discarded=True))

    assert (stop.level, stop.code) == (Level.STOP, "vial-discarded")


def test_a_look_alike_lot_is_stopped_and_the_swapped_digits_are_named():
    (stop,) = found(dose=dose(lot="ZZ-1014"))

    assert (stop.level, stop.code) == (Level.STOP, "look-alike-lot")
    assert "Lot ZZ-10[14] was scanned; at this table it is lot ZZ-10[41]." in stop.says


def test_another_lot_than_the_tables_is_looked_at():
    (check,) = found(dose=dose(lot="ZZ-1107"))

    assert (check.level, check.code) == (Level.CHECK, "lot-of-another-table")
    assert "ZZ-1107 was scanned; at this table it is ZZ-1041." in check.says


def test_nothing_is_said_of_lots_where_nobody_named_the_tables_lot():
    assert found(dose=dose(lot="ZZ-1014"), chair=chair(lots=())) == ()
    assert found(dose=dose(lot=None)) == ()


def test_another_lot_for_the_second_dose_is_normal():
    first = NOON.date() - timedelta(days=28)
    second = person(
        dose_number=2, doses_on=(first,), to_come=ToCome(first, first + timedelta(days=28))
    )

    assert found(second, dose(lot="ZZ-1107"), chair(lots=("ZZ-1107",))) == ()
