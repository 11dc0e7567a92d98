"""What stands between a made-up day and its signatures, and where to look for a dose."""

from datetime import timedelta
from fractions import Fraction

import pytest
from tests.account.ledger_entries import balances
from tests.account.missing_day import (
    ARRIVED,
    DRAWN,
    LOT,
    MISSING,
    WASTE,
    WITH_IT,
    WITHOUT,
    then,
)

from thawline.account.closeout import blockers, gaps, places
from thawline.account.likeliest import GUIDE, Likely, likeliest, spoken_odds
from thawline.account.searching import Gap
from thawline.adapters.missing_dose import weights
from thawline.base.findings import Level
from thawline.ledger import events as ev

WHOLE = ev.VialsArrived(vials=("CM62T",), lot=LOT, expiry="2026-08", doses=10)
SYRINGE_WASTED = ev.DoseWasted(place="syringe:HK47M-07", lot=LOT, doses=1, cause="spilled")
DISCARDED = ev.VialDiscarded(vial="HK47M", lot=LOT, doses=9, cause="leftover")


def _blockers(*events: ev.Event, opened: tuple[str, ...] = (), held: tuple[str, ...] = ()):
    entries = [
        ARRIVED,
        DRAWN,
        *(then(event, 17, minute) for minute, event in enumerate(events)),
    ]
    return blockers(balances(entries), opened, held)


def _codes(*events: ev.Event, **known: tuple[str, ...]) -> list[str]:
    return [finding.code for finding in _blockers(*events, **known)]


def _counted(doses: int) -> ev.CountTaken:
    return ev.CountTaken(place="vial:CM62T", lot=LOT, doses=doses, book=10)


def test_a_day_can_be_signed_when_every_opened_dose_has_an_end():
    assert _blockers(SYRINGE_WASTED, DISCARDED, opened=("HK47M",)) == ()


def test_a_drawn_syringe_without_an_end_blocks_the_signature():
    (stop,) = _blockers(DISCARDED)

    assert (stop.level, stop.code) == (Level.STOP, "syringe-left")
    assert stop.says == (
        "Syringe HK47M-07 is drawn and neither given nor wasted. Record which: "
        "thawline dose give, or thawline dose waste --syringe HK47M-07"
    )


def test_an_open_vial_with_doses_blocks_the_signature():
    (stop,) = _blockers(SYRINGE_WASTED)

    assert (stop.level, stop.code) == (Level.STOP, "open-vial-left")
    assert stop.says == (
        "Vial HK47M is open with 9 doses left by the book. Discard it: "
        "thawline vial discard HK47M --cause leftover"
    )


def test_one_dose_is_not_called_doses():
    of_the_vial = ev.DoseWasted(place="vial:HK47M", lot=LOT, doses=8, cause="spilled")
    (stop,) = _blockers(SYRINGE_WASTED, of_the_vial)

    assert stop.says.startswith("Vial HK47M is open with 1 dose left by the book.")


def test_nobody_is_told_to_discard_a_held_vial_before_it_was_decided():
    """The words of a hold: practice of the trade, as on every other answer about one."""
    (stop,) = _blockers(SYRINGE_WASTED, held=("HK47M", "CM62T"))

    assert (stop.level, stop.code) == (Level.STOP, "held-left")
    assert stop.says == (
        "Vial HK47M, open with 9 doses left by the book: HELD – DO NOT USE. Do not discard it "  # noqa: RUF001
        "until you are told to: keep it cold and apart, and call. Once told, record it: "
        "thawline vial discard HK47M --cause held-open"
    )


def test_nor_a_held_syringe():
    (stop,) = _blockers(DISCARDED, held=("HK47M-07",))

    assert stop.code == "held-left"
    assert stop.says.startswith("Syringe HK47M-07, drawn: HELD – DO NOT USE. Do not discard")  # noqa: RUF001
    assert stop.says.endswith("thawline dose waste --syringe HK47M-07 --cause held-open")


def test_what_is_held_keeps_nothing_else_off_the_list():
    both = ev.DoseDrawn(vial="CM62T", lot=LOT, syringes=("CM62T-01", "CM62T-02"))
    held = ("CM62T", "CM62T-01")

    found = _codes(WHOLE, both, held=held, opened=("HK47M",))

    assert sorted(found) == [
        "held-left",
        "held-left",
        "open-vial-left",
        "syringe-left",
        "syringe-left",
    ]


def test_a_whole_vial_keeps_no_open_one_off_the_list():
    assert _codes(SYRINGE_WASTED, WHOLE) == ["open-vial-left"]


def test_a_held_vial_that_was_never_opened_blocks_nothing():
    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE, held=("CM62T",)) == []


def test_a_vial_opened_and_not_drawn_from_blocks_too():
    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE) == []
    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE, opened=("CM62T",)) == ["open-vial-left"]


def test_a_dose_given_straight_from_a_vial_shows_that_it_is_open():
    given = ev.DoseGiven(
        person="DEMO-000001", dose_number=1, lot=LOT, vial="CM62T", doses_from="vial:CM62T"
    )

    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE, given) == ["open-vial-left"]


@pytest.mark.parametrize(
    ("doses", "says"),
    [
        (9, "vial:CM62T, lot ZZ-1041: counted 9, 1 fewer than the book."),
        (12, "vial:CM62T, lot ZZ-1041: counted 12, 2 more than the book."),
    ],
    ids=["fewer", "more"],
)
def test_a_count_that_differs_blocks_until_it_is_explained(doses, says):
    (stop,) = _blockers(SYRINGE_WASTED, DISCARDED, WHOLE, _counted(doses))

    assert (stop.level, stop.code) == (Level.STOP, "count-differs")
    assert stop.says == (f"{says} Count again, find them, or record them as not found.")


def test_a_count_that_agrees_blocks_nothing():
    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE, _counted(10)) == []


def test_doses_declared_not_found_by_two_people_let_the_day_be_signed():
    missing = ev.DoseNotFound(place="vial:CM62T", lot=LOT, doses=1, why="", second="hazel")

    assert _codes(SYRINGE_WASTED, DISCARDED, WHOLE, _counted(9), missing) == []


def test_an_account_below_zero_blocks_the_signature():
    twice = SYRINGE_WASTED

    assert _codes(SYRINGE_WASTED, DISCARDED, twice) == ["below-zero"]


def test_the_doses_to_look_for_are_open_syringes_and_counts_too_short():
    entries = [ARRIVED, DRAWN, then(WHOLE, 15, 0), then(_counted(8), 17, 0)]

    assert gaps(balances(entries)) == (MISSING, Gap("vial:CM62T", LOT, 2, 8, 10))
    assert gaps(balances([ARRIVED, then(WHOLE, 15, 0), then(_counted(12), 17, 0)])) == ()
    assert gaps(balances([ARRIVED, then(WHOLE, 15, 0), then(_counted(10), 17, 0)])) == ()


def test_the_worked_example_names_the_three_likeliest_places():
    entries = [ARRIVED, DRAWN, WITH_IT, WITHOUT, WASTE]

    (found,) = places([MISSING], balances(entries), entries, weights())

    assert [(each.place, each.odds) for each in found] == [
        ("chair 3, 14:02", Fraction(40, 82)),
        ("chair 5, 14:05", Fraction(20, 82)),
        ("draw table, 14:40", Fraction(12, 82)),
    ]
    assert [spoken_odds(each.odds) for each in found] == [
        "about 5 in 10",
        "about 2 in 10",
        "about 1 in 10",
    ]


def test_where_nothing_is_missing_no_place_is_named():
    assert places([], balances([]), [], weights()) == ()


def test_no_more_than_three_places_are_named_and_all_traces_weigh():
    unseen = then(ev.DoseDrawn(vial="HK47M", lot=LOT, syringes=("HK47M-08",), extra=1), 14, 0)
    entries = [ARRIVED, DRAWN, unseen, WITH_IT, WITHOUT, WASTE]

    (found,) = places([MISSING], balances(entries), entries, weights())

    assert len(found) == 3
    assert found[0].odds == Fraction(40, 94)


def test_without_a_trace_no_place_is_named():
    assert likeliest((), weights()) == ()


def test_odds_of_all_places_leave_room_for_what_left_no_trace():
    entries = [ARRIVED, DRAWN]

    ((only,),) = places([MISSING], balances(entries), entries, weights())

    assert only == Likely("draw table, 13:58", only.reason, Fraction(8, 18), "drawn-not-seen")


def test_the_odds_are_said_to_be_a_guide_and_nothing_measured():
    assert GUIDE == (
        "A guide to where to look first, from weights we have stated ourselves; not a measured "
        "chance. Look at all of them before a dose is called missing."
    )


@pytest.mark.parametrize(
    ("odds", "said"),
    [
        (Fraction(49, 1000), "less than 1 in 10"),
        (Fraction(6, 100), "about 1 in 10"),
        (Fraction(4, 5), "about 8 in 10"),
    ],
)
def test_odds_are_said_in_tenths(odds, said):
    assert spoken_odds(odds) == said


def test_records_of_the_same_thing_are_compared_within_the_tables_minutes():
    assert weights().within("recorded-twice") == timedelta(minutes=10)
    assert weights().within("vial-short") == timedelta(0)


@pytest.mark.parametrize(("hour", "minute", "named"), [(14, 3, True), (15, 30, False)])
def test_a_draw_recorded_again_soon_after_is_a_place_to_look(hour, minute, named):
    entries = [ARRIVED, DRAWN, then(DRAWN.event, hour, minute)]

    (found,) = places([MISSING], balances(entries), entries, weights())

    assert ("recorded-twice" in [each.code for each in found]) is named
