"""
What an excursion means for what was inside: held, for how long, and from when clocks run.

The made-up protocol of the cast: frozen -50 to -15 °C, refrigerator 2 to 8 °C, 20 days from
the freezer, 10 hours on the table. Expected times are worked by hand from the readings.
"""

from datetime import timedelta

import pytest
from tests.app.test_cold import a_file, cold_day, seen
from tests.app.test_hand_reading import held_syringe, record, state_of
from tests.cast import BRYONY, HAZEL, LOT, OTHER_LOT, ROWAN, TRANSPORT, at, small

from thawline.app.acts import Second
from thawline.app.cold import record_file
from thawline.app.excursions import call, exposure_of_unit, hold_exposed, warm_unit
from thawline.app.holds import Asked, release
from thawline.app.sending import send
from thawline.app.vials import draw, move, open_vial, take_out
from thawline.base.errors import NotFoundError, RecordError, RefusedError, UnsaidError
from thawline.base.instants import from_ms, to_ms
from thawline.ledger.events import UnitWarmed, VialHeld
from thawline.store.inside import Thing
from thawline.vial.facts import story_of
from thawline.vial.folds import CARTON, VIAL, carton_key
from thawline.vial.leaving import left_frozen
from thawline.vial.reckon import State

MINUTE = 60_000
NIGHT = seen(
    ("01:30", -20),
    ("01:35", -18),
    ("01:40", -14.9),
    ("01:45", -10),
    ("01:50", -12),
    ("01:55", -16),
)
MORNING = seen(("05:00", 5), ("05:30", 9), ("06:00", 10), ("06:30", 7))


def night(lots=((LOT, 42), (OTHER_LOT, 42)), found=NIGHT):
    """Return a day whose freezer warmed with vials of these lots in it since 01:00."""
    day = cold_day()
    for lot, vials in lots[1:]:
        day.receive(vials, "01:05", lot)
    record_file(day.site, day.doing("07:00", by=ROWAN), "freezer-1", found, a_file())
    return day


def morning(found=MORNING, **more):
    """Return a day whose refrigerator was warm from 05:00 to 06:30, and a vial in it then."""
    day = cold_day(**more)
    (code,) = day.thaw()
    record_file(day.site, day.doing("07:00", by=ROWAN), "fridge-1", found, a_file())
    return day, code


def exposures(day, unit, since=None, clock="07:05"):
    found = exposure_of_unit(day.site, unit, since, at(clock), at(clock))
    return found.excursions


def hold_all(day, unit, clock="07:05", **more):
    doing = day.doing(clock, by=ROWAN, why="found warm", **more)
    return hold_exposed(day.site, doing, unit, None, None)


def warm(day, clock="07:04"):
    return warm_unit(day.site, day.doing(clock, by=ROWAN), "freezer-1", None, None)


# --- a freezer that warms in the night --------------------------------------------------------


def test_a_warm_freezer_concerns_every_sealed_vial_of_both_lots():
    day = night()

    (excursion,) = exposures(day, "freezer-1")

    assert [(t.inside.code, t.inside.vials) for t in excursion.things] == [
        (LOT, 40),
        (OTHER_LOT, 42),
    ]
    assert (excursion.out.extreme_mc, excursion.out.readings) == (-10_000, 3)
    assert (excursion.span.from_ms, excursion.span.to_ms) == (
        to_ms(at("01:35")),
        to_ms(at("01:55")),
    )


def test_how_long_is_said_at_least_and_at_most():
    # Out at 01:40, 01:45, 01:50: all the way between them 10 min, at most from the reading in
    # band before to the one after, 20 min.
    (excursion,) = exposures(night(), "freezer-1")

    assert excursion.lasted.at_least_ms == 10 * MINUTE
    assert excursion.lasted.at_most_ms == 20 * MINUTE


def test_in_the_worst_case_the_clock_began_with_the_last_reading_in_band():
    (excursion,) = exposures(night(), "freezer-1")
    carton = excursion.things[0]

    assert carton.worst.use_by == at("01:35") + timedelta(days=20)
    assert carton.best.use_by == at("01:40") + timedelta(days=20)
    assert carton.held is False


def test_the_clocks_of_a_warm_freezer_start_and_reach_vials_taken_out_since():
    day = night()
    gone = take_out(day.site, day.doing("06:00", by=ROWAN), LOT, "", 2, "fridge").event.vials

    (outcome,) = warm(day)

    assert outcome.event == UnitWarmed(unit="freezer-1", vials=gone, lots=(LOT, OTHER_LOT))
    story = story_of(day.one(VIAL, gone[0]), None)
    assert left_frozen(story.facts) == at("01:35")
    assert day.one(CARTON, carton_key("freezer-1", LOT)).soft_since_ms == to_ms(at("01:35"))


def test_a_vial_taken_out_later_has_its_clock_from_the_last_reading_in_band():
    day = night()
    warm(day)

    doing = day.doing("08:00", by=ROWAN)
    (code,) = take_out(day.site, doing, LOT, "", 1, "fridge").event.vials

    assert state_of(day, code, "08:01").use_by == at("01:35") + timedelta(days=20)


def test_the_clocks_are_started_once():
    day = night()
    warm(day)

    assert warm(day, "07:30") == []


def test_where_nobody_knows_when_it_was_in_band_the_clocks_run_from_the_arrival():
    day = night(found=seen(("01:40", -14.9), ("01:45", -16)))

    warm(day)

    assert day.one(CARTON, carton_key("freezer-1", LOT)).soft_since_ms == to_ms(at("01:00"))


def test_one_act_holds_everything_that_was_inside():
    day = night()

    outcome, _ = hold_all(day, "freezer-1")

    event = outcome.event
    assert isinstance(event, VialHeld)
    assert event.cartons == (f"freezer-1|{LOT}", f"freezer-1|{OTHER_LOT}")
    assert (event.from_ms, event.until_ms) == (to_ms(at("01:35")), to_ms(at("01:55")))
    assert (
        "held, do not use, do not discard; keep cold and apart; call"
        in outcome.findings[0].says
    )
    assert all(thing.held for thing in exposures(day, "freezer-1")[0].things)


def test_vials_of_a_held_carton_go_to_the_refrigerator_only_and_stay_held():
    day = night()
    hold_all(day, "freezer-1")

    with pytest.raises(RefusedError, match="to the refrigerator only"):
        take_out(day.site, day.doing("08:00", by=ROWAN), LOT, "", 1, "table")
    doing = day.doing("08:01", by=ROWAN)
    (code,) = take_out(day.site, doing, LOT, "", 1, "fridge").event.vials
    assert state_of(day, code, "08:02").state is State.HELD


def test_a_held_carton_is_released_by_two_people_and_its_clock_goes_on():
    day = night()
    warm(day)
    hold_all(day, "freezer-1")
    two = Second(BRYONY, by_own_entry=True)
    doing = day.doing("09:00", by=ROWAN, why="health unit: use", second=two)

    release(day.site, doing, [], Asked("Health Unit", "use", "UV-17"), [f"freezer-1|{LOT}"])

    doing = day.doing("09:05", by=ROWAN)
    (code,) = take_out(day.site, doing, LOT, "", 1, "fridge").event.vials
    found = state_of(day, code, "09:06")
    assert (found.state, found.use_by) == (State.THAWING, at("01:35") + timedelta(days=20))
    held = {thing.inside.code: thing.held for thing in exposures(day, "freezer-1")[0].things}
    assert (held[LOT], held[OTHER_LOT]) == (False, True)


def test_a_carton_that_is_not_held_or_not_here_cannot_be_released():
    day = night()
    two = Second(BRYONY, by_own_entry=True)
    doing = day.doing("09:00", by=ROWAN, why="health unit: use", second=two)

    with pytest.raises(RecordError, match=f"lot {LOT} in freezer-1 is not held"):
        release(day.site, doing, [], Asked(), [f"freezer-1|{LOT}"])
    with pytest.raises(NotFoundError, match="no carton freezer-1:ZZ-9999 here"):
        release(day.site, doing, [], Asked(), ["freezer-1|ZZ-9999"])


def test_cartons_that_came_after_the_excursion_are_not_held():
    day = night(lots=((LOT, 40),))
    day.receive(10, "06:00", OTHER_LOT)

    outcome, _ = hold_all(day, "freezer-1")

    assert outcome.event.cartons == (f"freezer-1|{LOT}",)


def test_a_freezer_that_is_still_warm_holds_until_now():
    day = night(found=seen(("01:30", -20), ("01:35", -14)))

    outcome, _ = hold_all(day, "freezer-1")

    assert outcome.event.until_ms is None


# --- a warm refrigerator ----------------------------------------------------------------------


def test_an_open_vial_and_syringes_on_the_table_were_inside_only_while_they_were():
    day = cold_day()
    code, still_in = day.thaw(2)
    move(day.site, day.doing("06:20", by=ROWAN), [code], "table", unit="table-1")
    record_file(day.site, day.doing("07:00", by=ROWAN), "fridge-1", MORNING, a_file())
    open_vial(day.site, day.doing("07:01", by=HAZEL), code)
    doing = day.doing("07:02", by=HAZEL, station="table-1")
    syringes = draw(day.site, doing, code, 2).event.syringes

    (excursion,) = exposures(day, "fridge-1")
    lasted = {thing.inside.code: thing.lasted for thing in excursion.things}
    _, out = hold_all(day, "fridge-1")

    # In band at 05:00 and 06:30; out at 05:30 and 06:00. The one that left at 06:20 may have
    # been out from 05:00 on: 80 min; the one that stayed 90 min; both certainly 30 min.
    assert (lasted[code].at_least_ms, lasted[code].at_most_ms) == (30 * MINUTE, 80 * MINUTE)
    assert (lasted[still_in].at_least_ms, lasted[still_in].at_most_ms) == (
        30 * MINUTE,
        90 * MINUTE,
    )
    assert not set(syringes) & set(lasted)
    assert [each.syringe for each in out] == list(syringes)
    assert state_of(day, code, "07:06").state is State.HELD
    assert state_of(day, still_in, "07:06").state is State.HELD


def test_the_time_above_counts_as_room_time_in_the_worst_case():
    # 10 h on the table by the protocol; at most 90 min of them were used while it was warm.
    day, code = morning()
    move(day.site, day.doing("07:00", by=ROWAN), [code], "table", unit="table-1")

    (thing,) = exposures(day, "fridge-1")[0].things

    assert thing.worst.use_by == at("17:00") - timedelta(minutes=90)
    assert thing.best.use_by == at("17:00") - timedelta(minutes=30)


@pytest.mark.parametrize(
    ("degrees", "says"),
    [
        (26, "no clock of the protocol counts this time"),
        (1.9, "no clock"),
        (-0.1, "at or below"),
    ],
)
def test_where_no_clock_counts_the_worst_case_is_not_known(degrees, says):
    day, _ = morning(seen(("05:00", 5), ("05:30", degrees), ("06:00", 5)))

    (thing,) = exposures(day, "fridge-1")[0].things

    assert thing.worst.use_by is None
    assert says in thing.worst.says


@pytest.mark.parametrize(("degrees", "frozen"), [(0.1, False), (0, True), (-0.1, True)])
def test_a_thawed_vial_at_zero_counts_as_frozen_again_and_is_never_released(degrees, frozen):
    day, code = morning(seen(("05:00", 5), ("05:30", degrees), ("06:00", 5)))
    hold_all(day, "fridge-1")
    two = Second(BRYONY, by_own_entry=True)
    doing = day.doing("09:00", by=ROWAN, why="health unit: use", second=two)

    if frozen:
        with pytest.raises(RefusedError, match="frozen again"):
            release(day.site, doing, [code], Asked("Health Unit", "use", "UV-17"))
    else:
        release(day.site, doing, [code], Asked("Health Unit", "use", "UV-17"))
    assert (state_of(day, code, "09:01").state is State.HELD) is frozen


def test_a_gap_is_not_known_and_never_good():
    # Every half hour, then nothing from 05:30 to 08:30 but that it was out before.
    found = seen(("04:30", 5), ("05:00", 5), ("05:30", 9), ("06:30", 5), ("06:45", 5))
    day, _ = morning(found)

    (excursion,) = exposures(day, "fridge-1")

    assert (excursion.lasted.at_least_ms, excursion.lasted.at_most_ms) == (0, 90 * MINUTE)


def test_a_display_says_at_least_one_reading_and_never_how_long():
    day = cold_day()
    (code,) = day.thaw()
    record(day, "04:30", "fridge-1", "5", "4", "6", reset=True)
    record(day, "07:00", "fridge-1", "5", "4", "9")

    (excursion,) = exposures(day, "fridge-1")

    assert (excursion.lasted.at_least_ms, excursion.lasted.at_most_ms) == (0, 150 * MINUTE)
    assert [thing.inside.code for thing in excursion.things] == [code]
    assert excursion.out.by == ROWAN


def test_a_vial_that_was_sent_on_is_held_and_the_other_site_is_named():
    day, code = morning(file=small(TRANSPORT))
    send(day.site, day.doing("07:01", by=ROWAN), (code,), "quillbeck", "cart")

    outcome, _ = hold_all(day, "fridge-1")

    assert outcome.event.vials == (code,)
    assert "held-elsewhere" in [each.code for each in outcome.findings]


def test_a_quiet_refrigerator_has_nothing_to_hold():
    day, _ = morning(seen(("05:00", 5), ("05:30", 8)))

    assert exposures(day, "fridge-1") == ()
    with pytest.raises(RecordError, match="no excursion of fridge-1 is on record"):
        hold_all(day, "fridge-1")


def test_a_hold_says_why():
    day, _ = morning()

    with pytest.raises(UnsaidError, match="needs a reason"):
        hold_exposed(day.site, day.doing("07:05", by=ROWAN), "fridge-1", None, None)


def test_the_same_hold_asked_twice_is_recorded_once():
    day, _ = morning()
    first, _ = hold_all(day, "fridge-1")
    before = len(day.entries())

    again, _ = hold_all(day, "fridge-1", id=first.receipt.id)

    assert again.receipt.again is True
    assert len(day.entries()) == before


def test_a_time_that_ends_before_it_begins_is_no_time():
    day, _ = morning()

    with pytest.raises(RecordError, match="is after"):
        exposure_of_unit(day.site, "fridge-1", at("07:00"), at("06:00"), at("07:05"))


def test_excursions_outside_the_time_asked_are_left_out():
    day, _ = morning()

    assert exposures(day, "fridge-1", since=at("06:45")) == ()
    assert len(exposures(day, "fridge-1", since=at("06:10"))) == 1


def test_an_excursion_is_as_long_when_the_time_asked_cuts_it():
    day, _ = morning()

    (excursion,) = exposures(day, "fridge-1", since=at("06:10"))

    assert excursion.span.from_ms == to_ms(at("05:00"))


def test_two_excursions_that_only_a_gap_parts_are_one():
    found = seen(("04:30", 5), ("04:45", 9), ("05:00", 9), ("06:00", 9), ("06:15", 5))
    day, _ = morning(found)

    (excursion,) = exposures(day, "fridge-1")

    assert (excursion.out.readings, from_ms(excursion.out.first_out_ms)) == (3, at("04:45"))


def test_whoever_was_called_is_on_record_with_the_answer():
    day, _ = morning()
    doing = day.doing("07:20", by=ROWAN)

    outcome = call(day.site, doing, "fridge-1", "Health Unit", "keep, we call back", "UV-17")

    event = outcome.event
    assert (event.called, event.answer, event.case) == (
        *("Health Unit", "keep, we call back"),
        "UV-17",
    )
    assert outcome.findings == ()


def test_a_call_that_nobody_answered_keeps_everything_held():
    day, _ = morning()

    outcome = call(day.site, day.doing("07:20", by=ROWAN), "fridge-1", "Health Unit", "", "")

    assert [each.code for each in outcome.findings] == ["no-answer", "no-case"]
    with pytest.raises(UnsaidError, match="nobody is named who was called"):
        call(day.site, day.doing("07:21", by=ROWAN), "fridge-1", " ", "", "")


def test_a_syringe_on_a_warm_table_shows_in_the_tables_excursion():
    day = cold_day()
    (code,) = day.thaw()
    move(day.site, day.doing("06:20", by=ROWAN), [code], "table", unit="table-1")
    open_vial(day.site, day.doing("07:01", by=HAZEL), code)
    doing = day.doing("07:02", by=HAZEL, station="table-1")
    (syringe,) = draw(day.site, doing, code, 1).event.syringes
    record(day, "07:10", "table-1", "27")

    (excursion,) = exposures(day, "table-1", clock="07:15")

    kinds = [(each.inside.thing, each.inside.code, each.held) for each in excursion.things]
    assert kinds == [(Thing.VIAL, code, True), (Thing.SYRINGE, syringe, True)]
    assert held_syringe(day, syringe, "07:15") is not None
