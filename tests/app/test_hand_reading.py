"""What people read on displays and at tables, and what it holds."""

from decimal import Decimal

import pytest
from tests.app.test_cold import cold_day
from tests.cast import BRYONY, HAZEL, LOT, ROWAN, at

from thawline.app.acts import Second
from thawline.app.hand_reading import Display, record_reading
from thawline.app.holds import Asked, release
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle, gathered
from thawline.app.standings import stood
from thawline.app.vials import draw, move, open_vial
from thawline.base.errors import NotFoundError, RecordError, RefusedError
from thawline.base.instants import exactly
from thawline.vial.reckon import State


def read(now, low=None, high=None, *, reset=False):
    low, high = (None if end is None else Decimal(end) for end in (low, high))
    return Display(Decimal(now), low, high, reset)


def record(day, clock, unit, *values, reset=False):
    return record_reading(
        day.site, day.doing(clock, by=ROWAN), unit, read(*values, reset=reset)
    )


def state_of(day, code, clock):
    with day.site.ledger.view() as view:
        return stood(view, in_force(day.site, view, at(clock)), code, at(clock)).reckoning


def held_syringe(day, code, clock):
    with day.site.ledger.view() as view:
        needle = Needle("DEMO-000001", syringe=code)
        return gathered(day.site, view, needle, "chair-1", exactly(at(clock))).dose.held


def on_table(day, clock="06:35", unit="table-1"):
    (code,) = day.thaw()
    move(day.site, day.doing(clock, by=ROWAN), [code], "table", unit=unit)
    return code


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (("5.2", "3.9", "7.2"), []),
        (("8", "2", "8"), []),
        (("8.1",), ["8.1 °C now, outside 2 to 8 °C"]),
        (("1.9",), ["1.9 °C now, outside 2 to 8 °C"]),
        (
            ("5", "3", "8.1"),
            ["8.1 °C was the most since the last reset, outside 2 to 8 °C; at least one"],
        ),
        (("5", "-0.1", "7"), ["-0.1 °C was the least since the last reset"]),
    ],
)
def test_a_display_is_out_of_band_now_or_since_the_last_reset(values, says):
    day = cold_day()

    outcome = record(day, "07:00", "fridge-1", *values)

    assert [each.code for each in outcome.findings] == ["excursion"] * len(says)
    assert all(text in each.says for each, text in zip(outcome.findings, says, strict=True))


def test_how_long_it_was_out_is_not_known_from_a_display():
    day = cold_day()
    record(day, "06:00", "fridge-1", "5", "4", "6", reset=True)

    (finding,) = record(day, "07:00", "fridge-1", "5", "4", "9").findings

    assert "since the reset 2026-02-03T06:00:00-06:00" in finding.says
    assert "for how long is not known" in finding.says


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (("5", "6", "7"), "5 °C now does not lie between 6 and 7 °C"),
        (("5", "7", "3"), "5 °C now does not lie between 7 and 3 °C"),
        (("60.1",), "not between minus 100 and 60 °C: 60.1"),
        (("-100.1",), "not between minus 100 and 60 °C"),
        (("NaN",), "not between minus 100 and 60 °C: NaN"),
        (("8.0004",), "more decimals than a thermometer shows: 8.0004 °C"),
    ],
)
def test_a_slip_of_the_hand_is_not_recorded(values, says):
    day = cold_day()
    before = len(day.entries())

    with pytest.raises(RecordError, match=says):
        record(day, "07:00", "fridge-1", *values)
    assert len(day.entries()) == before


def test_a_unit_that_the_site_has_not_named_cannot_be_read():
    with pytest.raises(NotFoundError, match="no storage unit fridge-9 here") as error:
        record(cold_day(), "07:00", "fridge-9", "5")
    assert error.value.advice == "did you mean fridge-1?"


@pytest.mark.parametrize(
    ("now", "state"),
    [("25", State.READY), ("25.1", State.HELD), ("2", State.READY), ("1.9", State.HELD)],
)
def test_a_table_out_of_its_range_holds_what_stands_there(now, state):
    day = cold_day()
    code = on_table(day)

    outcome = record(day, "07:00", "table-1", now)

    assert outcome.event.vials == (code,)
    assert state_of(day, code, "07:01").state is state


def test_a_vial_elsewhere_is_not_held_by_the_table():
    day = cold_day()
    on_table(day)
    (chilled,) = day.thaw(clock="06:40")

    outcome = record(day, "07:00", "table-1", "25.6")

    assert chilled not in outcome.event.vials
    assert state_of(day, chilled, "07:01").state is State.THAWING


def test_a_vial_on_a_table_that_nobody_named_may_be_on_this_one():
    day = cold_day()
    code = on_table(day, unit="")

    record(day, "07:00", "table-1", "25.6")

    assert state_of(day, code, "07:01").state is State.HELD


def test_at_zero_degrees_a_vial_counts_as_frozen_again_and_is_never_released():
    day = cold_day()
    code = on_table(day)
    record(day, "07:00", "table-1", "0")

    doing = day.doing("07:10", by=ROWAN, why="sure?", second=Second(BRYONY, by_own_entry=True))
    with pytest.raises(RefusedError, match="frozen again"):
        release(day.site, doing, [code], Asked())


def test_drawn_syringes_on_the_table_are_held_with_their_vials_or_without():
    day = cold_day()
    code = on_table(day, "06:00")
    open_vial(day.site, day.doing("07:00", by=HAZEL), code)
    syringes = draw(
        day.site, day.doing("07:01", by=HAZEL, station="table-1"), code, 2
    ).event.syringes

    outcome = record(day, "07:10", "table-1", "27")

    assert outcome.event.syringes == syringes
    assert held_syringe(day, syringes[0], "07:11") is not None
    assert f"{code}, {syringes[0]}, {syringes[1]}: held" in outcome.findings[0].says


def test_a_table_that_was_warm_since_the_reset_concerns_what_was_there_at_any_time_since():
    day = cold_day()
    code = on_table(day)
    record(day, "06:40", "table-1", "21", reset=True)
    move(day.site, day.doing("06:50", happened=True), [code], "fridge", unit="fridge-1")
    (later,) = day.thaw(clock="07:00")

    outcome = record(day, "08:00", "table-1", "22", "21", "26")

    assert outcome.event.vials == (code,)
    assert state_of(day, code, "08:01").state is State.HELD
    assert state_of(day, later, "08:01").state is not State.HELD


def test_a_reading_of_an_empty_table_says_that_nothing_was_there():
    (finding,) = record(cold_day(), "07:00", "table-1", "26").findings

    assert "nothing by the record" in finding.says
    assert LOT not in finding.says
