"""
A freezer warms in the night with 84 vials of two lots; found at six, held, called, released.

And a refrigerator in the morning, with a vial open on the table and two syringes drawn. Times
are worked by hand from the readings; the rules are the made-up ones of the cast.
"""

from datetime import timedelta

import pytest
from tests.app.test_cold import a_file, cold_day
from tests.app.test_excursions import MORNING, NIGHT
from tests.app.test_hand_reading import record, state_of
from tests.cast import BRYONY, HAZEL, LOT, OTHER_LOT, ROWAN, SORREL, at

from thawline.app.acts import Second
from thawline.app.cold import record_file
from thawline.app.doses import give
from thawline.app.excursion_record import excursion_record
from thawline.app.excursions import call, hold_exposed, warm_unit
from thawline.app.holds import Asked, release
from thawline.app.in_hand import Needle, gathered
from thawline.app.vials import draw, move, open_vial, take_out
from thawline.base.errors import NotFoundError, RefusedError
from thawline.base.instants import exactly
from thawline.vial.reckon import State

SECOND = Second(BRYONY, by_own_entry=True)


@pytest.fixture
def found():
    """The morning after: 42 vials of each lot, two of them taken out before anybody looked."""
    day = cold_day()
    day.receive(2, "01:02")
    day.receive(42, "01:05", OTHER_LOT)
    out = take_out(day.site, day.doing("05:30", by=ROWAN), LOT, "", 2, "fridge").event.vials
    record_file(day.site, day.doing("06:00", by=ROWAN), "freezer-1", NIGHT, a_file())
    doing = day.doing("06:05", by=ROWAN, why="door found open")
    warm_unit(day.site, doing, "freezer-1", None, None)
    hold_exposed(
        day.site, day.doing("06:06", by=ROWAN, why="door open"), "freezer-1", None, None
    )
    return day, out


def against(day, syringe, clock):
    """Return the codes of what speaks against giving from a syringe."""
    with day.site.ledger.view() as view:
        needle = Needle("DEMO-000002", syringe=syringe)
        dose = gathered(day.site, view, needle, "chair-1", exactly(at(clock))).dose
    return [each.code for each in dose.handling]


def of_the_record(day, named="freezer-1", clock="12:00"):
    return excursion_record(day.site, named, None, None, at(clock))


def test_all_84_vials_are_held_and_their_clocks_run_from_the_last_reading_in_band(found):
    day, out = found

    (excursion,) = of_the_record(day).found.excursions
    things = excursion.things

    assert sum(thing.inside.vials for thing in things) == 84
    assert all(thing.held for thing in things)
    assert {thing.inside.lot for thing in things} == {LOT, OTHER_LOT}
    for code in out:
        reckoned = state_of(day, code, "06:10")
        assert (reckoned.state, reckoned.use_by) == (
            State.HELD,
            at("01:35") + timedelta(days=20),
        )


def test_no_held_vial_is_opened_or_drawn_whatever_is_said(found):
    day, (code, _) = found

    with pytest.raises(RefusedError):
        move(day.site, day.doing("08:00", by=ROWAN), [code], "table", unit="table-1")
    with pytest.raises(RefusedError):
        open_vial(day.site, day.doing("08:01", by=HAZEL, why="we need it"), code)


def test_the_record_grows_until_nothing_is_missing(found):
    day, out = found
    before = of_the_record(day).missing
    record(day, "06:20", "table-1", "21.5")
    call(day.site, day.doing("06:30", by=SORREL), "freezer-1", "Health Unit", "", "")
    unanswered = of_the_record(day).missing
    answered = day.doing("07:30", by=SORREL)
    call(day.site, answered, "freezer-1", "Health Unit", "use the lot", "UV-17")

    whole = of_the_record(day, "UV-17")

    assert before == (
        "the room's temperature",
        "who was called, when, and what they said",
        "the case number",
    )
    assert unanswered == ("the answer of whoever was called", "the case number")
    assert whole.missing == ()
    assert [each.why for each in whole.holds] == ["door open"]
    assert len(out) == 2


def test_two_people_release_one_lot_and_the_other_stays_held(found):
    day, _ = found
    doing = day.doing("09:00", by=ROWAN, why="health unit: use", second=SECOND)
    asked = Asked("Health Unit", "use", "UV-17")
    release(day.site, doing, [], asked, [f"freezer-1|{OTHER_LOT}"])

    whole = of_the_record(day, "UV-17")

    held = {thing.inside.code: thing.held for thing in whole.found.excursions[0].things}
    (released,) = whole.releases
    assert (released.by, released.second, released.case) == (ROWAN, BRYONY, "UV-17")
    assert (held[OTHER_LOT], held[LOT]) == (False, True)


def test_a_case_that_nobody_has_is_not_found(found):
    with pytest.raises(NotFoundError, match="no case UV-99 here"):
        of_the_record(found[0], "UV-99")


def test_a_unit_that_was_never_held_has_a_record_of_what_is_missing():
    day = cold_day()
    record_file(day.site, day.doing("07:00", by=ROWAN), "fridge-1", MORNING, a_file())

    missing = of_the_record(day, "fridge-1").missing

    assert missing[0].startswith("what happened, and who holds it")
    assert len(missing) == 4


def test_a_warm_refrigerator_reaches_syringes_on_the_table_and_counts_a_dose_given():
    day = cold_day()
    (code,) = day.thaw()
    move(day.site, day.doing("06:20", by=ROWAN), [code], "table", unit="table-1")
    open_vial(day.site, day.doing("06:40", by=HAZEL), code)
    doing = day.doing("06:41", by=HAZEL, station="table-1")
    first, second, third = draw(day.site, doing, code, 3).event.syringes
    give(day.site, day.doing("06:50", by=HAZEL), Needle("DEMO-000001", syringe=first))
    record_file(day.site, day.doing("07:00", by=ROWAN), "fridge-1", MORNING, a_file())

    doing = day.doing("07:05", by=ROWAN, why="fridge was warm")
    outcome, out = hold_exposed(day.site, doing, "fridge-1", None, None)

    assert outcome.event.vials == (code,)
    assert outcome.event.syringes == ()  # they were never in the refrigerator; the vial was
    assert [each.syringe for each in out] == [second, third]
    assert "1 dose from these vials given since" in outcome.findings[-1].says
    assert state_of(day, code, "07:06").state is State.HELD
    assert "held" in against(day, second, "07:06")  # through its vial
