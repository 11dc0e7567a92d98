"""What is said of a vial, and by which item: exactly these words, under the small protocol."""

import pytest
from tests.cast import small
from tests.vial.stories import OPEN, THAWED, asked, under, version

from thawline.base.findings import Finding, Level

DAY = "2026-02-03T"
PUNCTURES = '[punctures]\nitem = "D5"\nmost = 5\nsource = "demo"\n'
CHILLED = "as=chilled thawed_at=01:00 room_used_min=0"


@pytest.mark.parametrize(
    ("facts", "level", "says", "item"),
    [
        (
            ("04:00 to-fridge", "05:00 open"),
            Level.STOP,
            f"opened {DAY}05:00:00-06:00, before it was thawed",
            "T1",
        ),
        (
            ("04:00 to-table", "04:30 open"),
            Level.STOP,
            f"opened {DAY}04:30:00-06:00, before it was thawed",
            "T2",
        ),
        (
            (*THAWED, "06:40 open"),
            Level.ACT,
            f"opened {DAY}06:40:00-06:00, before it was ready: {DAY}06:45:00-06:00",
            "T1",
        ),
        (
            (*OPEN, "07:30 open"),
            Level.CHECK,
            "opened twice; the clock runs from the first time",
            None,
        ),
        ((*OPEN, "07:10 draw doses=9"), Level.CHECK, "9 doses drawn; 8 are counted on", "D1"),
        (
            (*OPEN, "07:10 draw doses=10"),
            Level.STOP,
            "10 doses drawn; a vial never gives more than 9",
            "D1",
        ),
        (
            ("04:00 to-fridge", "06:20 to-freezer", "06:30 to-fridge"),
            Level.STOP,
            "frozen again after it had left the freezer; a thawed vial is never refrozen",
            "T1",
        ),
        ((*OPEN, "07:10 discard", "07:20 draw doses=1"), Level.CHECK,
         "draw written after it was discarded", None),
    ],
    ids=[
        "in the refrigerator", "on the table", "warming", "twice", "an extra dose",
        "too many doses", "frozen again", "after the discard",
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_with_its_item(facts, level, says, item):
    (found,) = asked("08:00", *facts).findings

    assert (found.level, found.says, found.item) == (level, says, item)


def test_an_opening_between_two_moves_of_unknown_order_is_before_nobody_knows_when():
    moves = ("04:00 to-fridge", "06:30-06:40 to-table", "06:35-06:45 to-fridge")

    (found,) = asked("08:00", *moves, "07:00 open").findings

    assert found.says == f"opened {DAY}07:00:00-06:00, before it was ready: nobody knows when"


def test_punctures_are_counted_by_the_protocol():
    (found,) = asked(
        "08:00", *OPEN, "07:10 draw doses=6", rules=small(PUNCTURES).protocol
    ).findings

    assert (found.says, found.item) == ("punctured 6 times; at most 5", "D5")


def test_all_that_a_chilled_vial_came_without_is_said():
    (found,) = asked("08:00", f"04:00 arrive {CHILLED}").findings

    assert found == Finding(
        Level.STOP,
        "arrived-without-history",
        "held: it arrived chilled and this is not known: transport_used_min, trips_used",
    )


def test_a_vial_that_ran_out_under_an_older_version_says_by_which_item():
    late = version(2, 3, "13:00", open="PT9H")

    (found,) = under([version(1, 1), late], "14:00", *OPEN, "13:30 flag").findings

    assert found.says == f"ran out {DAY}12:00:00-06:00 under version 1; it stays out"
    assert found.item == "C4"


def test_moves_of_unknown_order_are_said():
    moves = ("04:00 to-fridge", "06:30-06:40 to-table", "06:35-06:45 to-fridge")

    (found,) = asked("08:00", *moves).findings

    assert found == Finding(
        Level.CHECK,
        "order-not-known",
        "the order of its last two moves is not known, so when it is ready is not either",
        "T1",
    )
