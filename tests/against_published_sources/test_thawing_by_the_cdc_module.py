"""
Thawing and refreezing, by the CDC module of November 2021.

Centers for Disease Control and Prevention, training module on the mRNA vaccine, page "Thawing",
reviewed 16 November 2021: 2 h 30 min in the refrigerator, 1 h at 15 to 25 °C; a thawed vial is
NEVER refrozen. The 15 minutes at room temperature after the refrigerator are common practice
(the label's sentence is cut off in the copy seen), and so is that a thaw broken off early
starts again on the table. Rows T2 and T3 of the project's cold-chain check table, read on
2026-11-25. Tolerance: none.
"""

import pytest

from thawline.adapters.rule_files import load
from thawline.base.instants import read_instant
from thawline.thaw.moves import move_findings
from thawline.vial.reckon import reckon
from thawline.vial.story import read_story

RULES = load("published-2021-12").protocol


def asked(clock, *facts):
    events = [{"at": f"2021-11-29T{at}:00-06:00", "what": what} for at, what in facts]
    told = {"lot": "ZZ-1041", "expiry": "2022-03", "zone": "America/Chicago", "events": events}
    at = read_instant(f"2021-11-29T{clock}:00-06:00")
    return at, reckon(read_story(told), RULES, at)


@pytest.mark.parametrize(
    ("clock", "state"), [("06:29", "thawing"), ("06:30", "chilled")], ids=["2 h 29", "2 h 30"]
)
def test_t2_2_hours_29_in_the_refrigerator_are_not_enough_2_hours_30_are(clock, state):
    _, found = asked(clock, ("04:00", "to-fridge"))

    assert found.state == state


@pytest.mark.parametrize(
    ("clock", "may"), [("06:44", False), ("06:45", True)], ids=["14 min", "15 min"]
)
def test_t2_then_it_stands_15_minutes_at_room_temperature(clock, may):
    at, found = asked(clock, ("04:00", "to-fridge"), ("06:30", "to-table"))

    assert found.may_be_opened(at) is may


@pytest.mark.parametrize(
    ("clock", "may"), [("07:28", False), ("07:29", True)], ids=["59 min", "1 h"]
)
def test_t2_taken_out_after_2_hours_29_it_thaws_a_whole_hour_on_the_table(clock, may):
    at, found = asked(clock, ("04:00", "to-fridge"), ("06:29", "to-table"))

    assert found.may_be_opened(at) is may


@pytest.mark.parametrize("clock", ["04:00", "06:30", "12:00"])
def test_t3_back_into_the_freezer_is_refused(clock):
    _, found = asked(clock, ("04:00", "to-fridge"))

    (stop,) = move_findings("HK47M", found, "freezer", RULES, on_table=False)

    assert (stop.level, stop.code) == ("stop", "refrozen")


def test_t3_a_vial_that_was_refrozen_is_never_usable_again():
    facts = [("04:00", "to-fridge"), ("08:00", "to-freezer"), ("09:00", "release")]

    _, found = asked("12:00", *facts, ("10:00", "to-fridge"))

    assert (found.usable, found.state) == (False, "held")
