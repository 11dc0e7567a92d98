"""One draw table and its fridge, with made-up vials of ten doses."""

import pytest

from thawline.demo import script
from thawline.demo.tables import DrawTable, Fridge

STANDS_S = 900
SHORT = ("ZZ-1120", 0)


@pytest.fixture(name="table")
def _table():
    steps = []
    fridge = Fridge(
        "Mallow", 10, STANDS_S, lambda lot, n: 9 if (lot, n) == SHORT else None, steps
    )
    fridge.take_out("ZZ-1107", 1, 0)
    fridge.take_out("ZZ-1120", 3, 0)
    return DrawTable(2, "Hazel", ("ZZ-1107", "ZZ-1120"), fridge, steps)


def _of(table, kind):
    return [step for step in table.script if isinstance(step, kind)]


def _take(table, doses, at_s=10_000):
    return [table.take(at_s + 60 * n) for n in range(doses)]


def test_a_vial_that_nobody_brought_is_brought_and_waited_for(table):
    _, there_s = table.take(10_000)

    assert _of(table, script.BringToTable)[0].at_s == 10_000
    assert there_s > 10_000 + STANDS_S


def test_a_table_works_through_one_lot_before_the_next(table):
    table.bring(3, 5_000)

    assert [step.vials for step in _of(table, script.BringToTable)] == [(0,), (1, 2)]


def test_an_empty_vial_is_put_away_before_the_next_is_opened(table):
    table.bring(2, 5_000)
    _take(table, 11)
    steps = [type(step).__name__ for step in table.script]

    assert steps.index("DiscardVial") < len(steps) - 1 - steps[::-1].index("OpenVial")


def test_the_dose_that_a_short_vial_does_not_hold_is_wasted(table):
    table.bring(3, 5_000)
    _take(table, 20)

    assert [(s.vial, s.doses, s.cause) for s in _of(table, script.WasteFromVial)] == [
        (1, 1, "short-volume")
    ]


def test_at_the_end_nothing_open_drawn_or_warm_stays_behind(table):
    table.bring(2, 5_000)
    _take(table, 2)
    table.finish(20_000)

    assert table.in_hand() == 0
    assert [s.cause for s in _of(table, script.DiscardVial)] == ["leftover", "past-thaw"]
    assert _of(table, script.WasteSyringe)


def test_syringes_are_handed_out_in_the_order_in_which_they_were_drawn(table):
    table.bring(1, 5_000)

    assert [syringe.number for syringe, _ in _take(table, 5)] == [1, 2, 3, 4, 5]


def test_the_newest_syringe_is_of_a_vial_that_has_some_left(table):
    table.bring(2, 5_000)
    _take(table, 9)
    syringe, _ = table.take_newest(20_000)

    assert syringe.vial == table.open.number
    assert table.open.left > 0
