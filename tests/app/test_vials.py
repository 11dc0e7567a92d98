"""Moving, opening, drawing, wasting, discarding and flagging vials, and the next one."""

from decimal import Decimal

import pytest
from tests.cast import (
    EXPIRY,
    FREEZER,
    HAZEL,
    LOT,
    MS,
    OTHER_LOT,
    ROWAN,
    TRANSPORT,
    a_day,
    at,
    codes,
    small,
)

from thawline.app.holds import hold, hold_lot
from thawline.app.in_force import in_force
from thawline.app.receiving import Label, Thawed, receive_chilled, receive_thawed
from thawline.app.sending import send
from thawline.app.standings import all_stood, stood
from thawline.app.vials import discard, draw, flag, move, open_vial, take_out, waste
from thawline.base.errors import NotFoundError, RecordError, RefusedError, RuleError
from thawline.base.findings import Level
from thawline.base.instants import Occurred
from thawline.ledger.events import DoseDrawn, VialMoved, VialPunctured
from thawline.prepare.opening import next_ones
from thawline.vial.codes import vial_code
from thawline.vial.facts import story_of
from thawline.vial.folds import VIAL
from thawline.vial.reckon import State

MAY_RETURN = '[handling.return_from_table]\nitem = "H1"\nmay = true\nsource = "demo"\n'
MAY_OPEN_EARLY = '[overrides.not-ready]\nitem = "V1"\nsecond_person = false\nsource = "demo"\n'


def standing_of(day, vial, moment):
    with day.site.ledger.view() as view:
        return stood(view, in_force(day.site, view, moment), vial, moment).reckoning


def refusal(act, *rest):
    with pytest.raises(RefusedError) as raised:
        act(*rest)
    return codes(raised.value.findings)


# --- out of the freezer -------------------------------------------------------------------


def test_a_vial_gets_its_code_when_it_leaves_the_freezer_and_its_clocks_start():
    day = a_day()

    first, second = day.thaw(2, "04:00")

    assert [first, second] == [vial_code(0, "harrowmint"), vial_code(1, "harrowmint")]
    found = standing_of(day, first, at("04:00"))
    assert found.state is State.THAWING
    assert (found.use_by, found.set_by) == (at("04:00", day=23), "chilled")


def test_codes_go_on_counting_and_pass_over_one_that_came_from_elsewhere():
    day = a_day()
    elsewhere = vial_code(1, "harrowmint")
    came = Thawed(thawed_lo=at("01:00"), thawed_hi=at("01:00"), from_site="harrowmint")
    receive_thawed(day.site, day.doing("03:00"), Label(LOT, EXPIRY), (elsewhere,), came)

    codes_given = [*day.thaw(2, "04:00"), *day.thaw(1, "04:10")]

    assert codes_given == [vial_code(number, "harrowmint") for number in (0, 2, 3)]


@pytest.mark.parametrize("count", [0, -1, 501])
def test_only_one_to_five_hundred_vials_come_out_at_once(count):
    day = a_day()

    with pytest.raises(RecordError, match=f"1 to 500: {count}"):
        take_out(day.site, day.doing("04:00"), LOT, FREEZER, count, "fridge")


def test_more_vials_than_the_book_holds_are_refused_but_recorded_as_a_fact():
    day = a_day(vials=2)

    assert refusal(day.thaw, 3) == ["not-in-stock"]
    doing = day.doing("04:00", happened=True)
    outcome = take_out(day.site, doing, LOT, FREEZER, 3, "fridge")
    assert codes(outcome.findings) == ["not-in-stock"]
    assert len(outcome.event.vials) == 3


def test_a_lot_that_is_not_in_the_freezer_is_not_found_and_the_nearest_is_named():
    day = a_day()

    with pytest.raises(NotFoundError, match="no carton in freezer-1 of lot ZZ-1014") as error:
        day.thaw(1, "04:00", "ZZ-1014")
    assert error.value.advice == "did you mean ZZ-1041?"


def test_a_held_lot_is_not_taken_out_of_the_freezer():
    day = a_day()
    hold_lot(day.site, day.doing("03:00", why="withdrawn"), LOT, "UV-3")

    assert refusal(day.thaw, 1) == ["lot-held"]


def test_soft_cartons_go_to_the_refrigerator_only_and_stay_held():
    day = a_day(vials=0)
    day.receive(5, "01:00", soft=True)
    doing = day.doing("01:10", by=ROWAN)

    assert refusal(take_out, day.site, doing, LOT, FREEZER, 1, "table") == ["held"]
    outcome = take_out(day.site, day.doing("01:11", by=ROWAN), LOT, FREEZER, 1, "fridge")
    found = standing_of(day, outcome.event.vials[0], at("05:00"))
    assert (codes(outcome.findings), found.state) == (["held"], State.HELD)
    assert found.use_by == at("01:00", day=23)  # since it was found soft, not since 01:11


# --- moves --------------------------------------------------------------------------------


def test_a_thawed_vial_is_never_put_back_into_the_freezer():
    day = a_day()
    (vial,) = day.thaw()

    assert refusal(move, day.site, day.doing("05:00"), [vial], "freezer") == ["refrozen"]


def test_a_vial_found_in_the_freezer_is_recorded_and_held_for_ever():
    day = a_day()
    (vial,) = day.thaw()

    outcome = move(day.site, day.doing("05:00", happened=True), [vial], "freezer")

    assert codes(outcome.findings) == ["refrozen"]
    later = standing_of(day, vial, at("12:00", day=20))
    assert (later.state, later.usable) == (State.HELD, False)


def test_a_vial_goes_back_from_the_table_only_where_the_protocol_says_so():
    day = a_day()
    (vial,) = day.ready()
    assert refusal(move, day.site, day.doing("07:00"), [vial], "fridge") == [
        "no-return-from-table"
    ]

    allowed = a_day(small(MAY_RETURN))
    (other,) = allowed.ready()
    outcome = move(allowed.site, allowed.doing("07:00"), [other], "fridge")
    assert (outcome.event.to, outcome.findings) == ("fridge", ())


def test_a_held_vial_may_always_go_to_the_refrigerator():
    day = a_day()
    (vial,) = day.ready()
    hold(day.site, day.doing("07:00", why="shaken"), [vial])

    outcome = move(day.site, day.doing("07:05"), [vial], "fridge")

    assert isinstance(outcome.event, VialMoved)


def test_an_open_vial_is_not_kept_in_the_refrigerator():
    day = a_day()
    vial = day.opened()

    assert refusal(move, day.site, day.doing("08:00"), [vial], "fridge") == ["open-not-kept"]


def test_a_held_vial_does_not_go_to_the_table():
    day = a_day()
    (vial,) = day.thaw()
    hold(day.site, day.doing("05:00", why="dropped"), [vial])

    assert refusal(move, day.site, day.doing("06:35"), [vial], "table") == ["held"]


@pytest.mark.parametrize(
    ("room_c", "found"),
    [("25", []), ("25.1", ["table-out-of-range"]), ("1.9", ["table-out-of-range"])],
)
def test_a_table_out_of_range_holds_what_is_put_on_it_and_says_so_at_once(room_c, found):
    day = a_day()
    (vial,) = day.thaw()

    outcome = move(day.site, day.doing("06:35"), [vial], "table", Decimal(room_c))

    assert codes(outcome.findings) == found
    assert (standing_of(day, vial, at("07:00")).state is State.HELD) is bool(found)


def test_a_room_thaw_at_a_hot_table_is_held_from_the_start():
    day = a_day()

    doing = day.doing("05:00", by=ROWAN)
    outcome = take_out(day.site, doing, LOT, FREEZER, 1, "table", Decimal("27.5"))

    assert codes(outcome.findings) == ["table-out-of-range"]


def test_either_all_vials_of_a_move_go_or_none():
    day = a_day()
    first, second = day.thaw(2)
    hold(day.site, day.doing("05:00", why="dropped"), [second])

    assert refusal(move, day.site, day.doing("06:35"), [first, second], "table") == ["held"]
    assert standing_of(day, first, at("07:00")).state is State.CHILLED


def test_a_move_names_vials_of_one_lot_and_at_least_one():
    day = a_day()
    day.receive(5, "01:10", OTHER_LOT)
    (one,), (other,) = day.thaw(1, "04:00"), day.thaw(1, "04:01", OTHER_LOT)

    with pytest.raises(RecordError, match="more than one lot: ZZ-1041, ZZ-1107"):
        move(day.site, day.doing("06:35"), [one, other], "table")
    with pytest.raises(RecordError, match="no vial is named"):
        move(day.site, day.doing("06:36"), [], "table")


def test_a_vial_that_was_sent_away_is_not_moved_opened_or_wasted_here():
    day = a_day(small(TRANSPORT))
    (vial,) = day.thaw()
    send(day.site, day.doing("06:30"), (vial,), "quillbeck", "vehicle")

    assert refusal(move, day.site, day.doing("07:00"), [vial], "table") == ["not-here"]
    assert "not-here" in refusal(open_vial, day.site, day.doing("07:01"), vial)
    assert "not-here" in refusal(draw, day.site, day.doing("07:02"), vial)
    with pytest.raises(RecordError, match="holds 0 doses"):
        waste(day.site, day.doing("07:03"), f"vial:{vial}", 1, "broken")
    assert discard(day.site, day.doing("07:04"), vial, "broken").event.doses == 0


# --- opening ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("clock", "may"), [("06:44:59.999", False), ("06:45", True)], ids=["1 ms early", "ready"]
)
def test_a_vial_is_opened_from_the_moment_it_is_ready(clock, may):
    day = a_day()
    (vial,) = day.ready("06:35")  # thawed since 06:00, stands ten minutes

    if may:
        outcome = open_vial(day.site, day.doing(clock), vial)
        assert outcome.event == VialPunctured(vial=vial)
    else:
        assert refusal(open_vial, day.site, day.doing(clock), vial) == ["not-ready"]


def test_the_refusal_says_from_when_it_may_be_opened_in_local_time():
    day = a_day()
    (vial,) = day.ready("06:35")

    with pytest.raises(RefusedError, match="not before 2026-02-03T06:45:00-06:00"):
        open_vial(day.site, day.doing("06:40"), vial)


@pytest.mark.parametrize("clock", ["03:59", "05:00"], ids=["in the freezer", "thawing"])
def test_a_vial_is_not_opened_before_it_left_the_freezer_or_is_thawed(clock):
    day = a_day()
    (vial,) = day.thaw(1, "04:00")

    assert refusal(open_vial, day.site, day.doing(clock), vial) == ["not-ready"]


def test_a_vial_is_not_opened_twice():
    day = a_day()
    vial = day.opened("07:00")

    assert refusal(open_vial, day.site, day.doing("07:05"), vial) == ["open-already"]
    assert refusal(open_vial, day.site, day.doing("06:50"), vial) == ["open-already"]


def test_at_the_limit_itself_an_opened_vial_is_past():
    day = a_day()
    vial = day.opened("07:00")  # five hours

    draw(day.site, day.doing("11:59:59.999"), vial)
    assert refusal(draw, day.site, day.doing("12:00"), vial) == ["past-use-by"]


def test_use_by_cannot_be_set_aside_whatever_the_protocol_says():
    says = '[overrides.past-use-by]\nitem = "V1"\nsecond_person = false\nsource = "demo"\n'
    day = a_day(small(says))
    vial = day.opened("07:00")

    doing = day.doing("12:00", why="the queue is long")
    assert refusal(draw, day.site, doing, vial) == ["past-use-by"]


def test_a_refusal_is_set_aside_only_where_the_protocol_says_so_and_with_a_reason():
    day = a_day(small(MAY_OPEN_EARLY))
    (vial,) = day.ready("06:35")

    assert refusal(open_vial, day.site, day.doing("06:40"), vial) == ["not-ready"]
    outcome = open_vial(day.site, day.doing("06:41", why="the lead said so"), vial)
    assert codes(outcome.findings) == ["not-ready"]


def test_what_happened_is_recorded_with_what_the_rules_say_against_it():
    day = a_day()
    (vial,) = day.thaw(1, "04:00")

    outcome = open_vial(day.site, day.doing("05:00", happened=True), vial)

    assert [f.level for f in outcome.findings] == [Level.STOP]
    found = standing_of(day, vial, at("05:01"))
    assert (found.usable, codes(found.findings)) == (False, ["opened-while-thawing"])


def test_a_time_that_is_not_known_exactly_counts_from_its_earlier_end():
    day = a_day()
    (vial,) = day.ready("06:35")

    between = Occurred(at("07:00"), at("07:20"))
    open_vial(day.site, day.doing("07:20", occurred=between), vial)

    assert standing_of(day, vial, at("08:00")).use_by == at("12:00")


# --- drawing ------------------------------------------------------------------------------


def test_each_dose_drawn_is_a_syringe_with_a_code_of_its_own():
    day = a_day()
    vial = day.opened()

    draw(day.site, day.doing("07:10"), vial, 2)
    outcome = draw(day.site, day.doing("07:20"), vial)

    assert outcome.event == DoseDrawn(vial=vial, lot=LOT, syringes=(f"{vial}-03",))
    assert day.one(VIAL, vial).left == 5


def test_the_ninth_dose_is_extra_and_the_tenth_is_refused():
    day = a_day()
    vial = day.opened()
    draw(day.site, day.doing("07:10"), vial, 8)

    outcome = draw(day.site, day.doing("07:20"), vial)

    assert (outcome.event.extra, codes(outcome.findings)) == (1, ["extra-dose"])
    assert refusal(draw, day.site, day.doing("07:21"), vial) == ["too-many-doses"]


def test_a_closed_vial_is_not_drawn_from():
    day = a_day()
    (vial,) = day.ready()

    assert refusal(draw, day.site, day.doing("07:00"), vial) == ["not-open"]


def test_a_discarded_vial_is_not_moved_opened_or_drawn_from():
    day = a_day()
    vial = day.opened()
    discard(day.site, day.doing("07:30"), vial, "contaminated")

    assert refusal(draw, day.site, day.doing("07:31"), vial) == ["vial-discarded"]
    assert "vial-discarded" in refusal(open_vial, day.site, day.doing("07:32"), vial)
    assert refusal(move, day.site, day.doing("07:33"), [vial], "table") == ["vial-discarded"]


def test_syringes_drawn_far_ahead_of_the_people_are_warned_of_table_by_table():
    limit = '[predrawn]\nitem = "D6"\nmost_vials = 1\nmost_doses = 4\nsource = "demo"\n'
    day = a_day(small(limit))
    first, second = day.ready("06:35", 2)
    for vial in (first, second):
        open_vial(day.site, day.doing("07:00"), vial)
    draw(day.site, day.doing("07:10", station="table-1"), first, 8)

    here = draw(day.site, day.doing("07:11", station="table-1"), second)
    there = draw(day.site, day.doing("07:12", station="table-2"), second)

    assert (codes(here.findings), codes(there.findings)) == (["drawn-ahead"], [])


@pytest.mark.parametrize("doses", [0, -1, 501])
def test_doses_are_drawn_one_or_more_at_a_time(doses):
    day = a_day()
    vial = day.opened()

    with pytest.raises(RecordError, match=f"1 or more: {doses}"):
        draw(day.site, day.doing("07:10"), vial, doses)


# --- wasting, discarding, flags -----------------------------------------------------------


def test_wasted_doses_leave_the_vial_for_a_listed_cause():
    day = a_day()
    vial = day.opened()

    event = waste(day.site, day.doing("07:30", why="fell"), f"vial:{vial}", 2, "spilled").event

    assert (event.lot, event.doses, event.cause, event.why) == (LOT, 2, "spilled", "fell")
    assert day.one(VIAL, vial).left == 6


@pytest.mark.parametrize("doses", [0, 9])
def test_no_more_is_wasted_than_the_book_holds(doses):
    day = a_day()
    vial = day.opened()

    with pytest.raises(RecordError, match=f"holds 8 doses by the book, not {doses}"):
        waste(day.site, day.doing("07:30"), f"vial:{vial}", doses, "spilled")


def test_a_syringe_is_wasted_once():
    day = a_day()
    vial = day.opened()
    draw(day.site, day.doing("07:10"), vial)
    place = f"syringe:{vial}-01"
    waste(day.site, day.doing("07:30"), place, 1, "spilled")

    with pytest.raises(RecordError, match="holds 0 doses"):
        waste(day.site, day.doing("07:31"), place, 1, "spilled")


@pytest.mark.parametrize("place", ["vial:ZZ00Z", "syringe:HK47M-01", "cupboard:3"])
def test_doses_are_wasted_from_a_vial_or_syringe_that_is_here(place):
    day = a_day()

    with pytest.raises(NotFoundError, match="here"):
        waste(day.site, day.doing("07:30"), place, 1, "spilled")


def test_an_unlisted_cause_of_waste_is_refused_by_name():
    day = a_day()
    vial = day.opened()

    with pytest.raises(RecordError, match="bad luck"):
        waste(day.site, day.doing("07:30"), f"vial:{vial}", 1, "bad luck")
    with pytest.raises(RecordError, match="bad luck"):
        discard(day.site, day.doing("07:31"), vial, "bad luck")


def test_discarding_wastes_what_is_left_and_happens_once():
    day = a_day()
    vial = day.opened()
    draw(day.site, day.doing("07:10"), vial, 3)

    event = discard(day.site, day.doing("07:30"), vial, "leftover").event

    assert (event.doses, standing_of(day, vial, at("07:31")).state) == (5, State.DISCARDED)
    with pytest.raises(RecordError, match="discarded already"):
        discard(day.site, day.doing("07:31"), vial, "leftover")


def test_a_longer_limit_waits_for_the_new_flag_and_counts_from_then():
    day = a_day()
    vial = day.opened("07:00")
    longer = small(version=2, effective_from="2026-02-03T08:00:00-06:00", open="PT7H")
    day.adopt(longer, by=ROWAN)

    before = standing_of(day, vial, at("09:00")).use_by
    flag(day.site, day.doing("09:30"), [vial])

    assert (before, standing_of(day, vial, at("09:31")).use_by) == (at("12:00"), at("14:00"))


def test_a_longer_limit_adopted_after_its_date_waits_for_the_new_flag_as_well():
    day = a_day()
    vial = day.opened("07:00")
    day.now = at("09:00")
    day.adopt(small(version=2, effective_from="2026-02-03T00:00:00-06:00", open="PT7H"))

    before = standing_of(day, vial, at("09:30")).use_by
    flag(day.site, day.doing("10:00"), [vial])

    assert (before, standing_of(day, vial, at("10:01")).use_by) == (at("12:00"), at("14:00"))


def test_a_longer_limit_of_the_same_date_waits_for_the_new_flag_as_well():
    day = a_day()
    vial = day.opened("07:00")
    day.now = at("09:00")
    day.adopt(small(version=2, open="PT7H"))  # dated like version 1

    before = standing_of(day, vial, at("09:30")).use_by
    flag(day.site, day.doing("10:00"), [vial])

    assert (before, standing_of(day, vial, at("10:01")).use_by) == (at("12:00"), at("14:00"))


def test_a_shorter_limit_adopted_after_its_date_counts_from_its_adoption():
    day = a_day()
    vial = day.opened("07:00")
    day.now = at("09:00")
    day.adopt(small(version=2, effective_from="2026-02-03T00:00:00-06:00", open="PT3H"))

    assert standing_of(day, vial, at("09:00") - MS).use_by == at("12:00")
    assert standing_of(day, vial, at("09:00")).use_by == at("10:00")


def test_a_shorter_limit_counts_at_once():
    day = a_day()
    vial = day.opened("07:00")
    shorter = small(version=2, effective_from="2026-02-03T08:00:00-06:00", open="PT3H")
    day.adopt(shorter, by=ROWAN)

    assert standing_of(day, vial, at("08:00") - MS).use_by == at("12:00")
    assert standing_of(day, vial, at("08:00")).use_by == at("10:00")


def test_a_flag_is_for_a_vial_that_is_here():
    day = a_day()

    with pytest.raises(NotFoundError, match="no vial HK47M here"):
        flag(day.site, day.doing("09:30"), ["HK47M"])


# --- which one next -----------------------------------------------------------------------


def test_the_vial_to_use_first_has_the_earliest_use_by():
    day = a_day()
    late, early = day.ready("06:35", 2)
    open_vial(day.site, day.doing("07:10"), late)
    open_vial(day.site, day.doing("07:00", occurred=Occurred(at("07:00"), at("07:00"))), early)
    (chilled,) = day.thaw(1, "07:30")

    with day.site.ledger.view() as view:
        rules = in_force(day.site, view, at("08:00"))
        found = [
            (each.code, each.reckoning, story_of(each.vial, None).last_day)
            for each in all_stood(view, rules, at("08:00"))
        ]
    assert next_ones(found) == [early, late, chilled]


# --- the site -----------------------------------------------------------------------------


def test_without_a_protocol_nothing_is_decided():
    day = a_day()
    view = type("Empty", (), {"one": lambda *_: None})()

    with pytest.raises(RuleError, match="no protocol is adopted at harrowmint"):
        in_force(day.site, view, at("04:00"))


def test_before_the_first_version_counts_the_oldest_one():
    day = a_day(small(version=1, effective_from="2026-02-10T06:00:00-06:00"))

    with day.site.ledger.view() as view:
        assert in_force(day.site, view, at("04:00")).ref.version == 1


def test_of_two_versions_that_start_together_the_later_adopted_counts():
    day = a_day()
    second = small(version=2, open="PT4H")
    day.adopt(second, by=HAZEL)

    with day.site.ledger.view() as view:
        assert in_force(day.site, view, at("04:00")).ref == second.ref


def test_thawed_vials_from_a_supplier_get_the_next_codes_and_keep_their_history():
    day = a_day()
    came = Thawed(
        thawed_lo=at("01:00"),
        thawed_hi=at("01:30"),
        room_used_min=30,
        transport_used_min=60,
        trips_used=1,
    )
    receive_chilled(day.site, day.doing("03:00"), Label(LOT, EXPIRY), 2, came)

    found = standing_of(day, vial_code(1, "harrowmint"), at("03:00"))
    assert found.state is State.CHILLED
    assert found.usable
    assert day.thaw(1, "04:00") == [vial_code(2, "harrowmint")]


def test_thawed_vials_without_their_history_are_held():
    day = a_day()
    receive_chilled(day.site, day.doing("03:00"), Label(LOT, EXPIRY), 1, Thawed())

    found = standing_of(day, vial_code(0, "harrowmint"), at("03:00"))
    assert found.state is State.HELD
    assert not found.usable
    assert found.not_known == (
        "thawed_at",
        "room_used_min",
        "transport_used_min",
        "trips_used",
    )


def test_waste_of_the_wrong_kind_is_told_and_recorded():
    day = a_day()
    (first,) = day.thaw(1, "04:00")
    outcome = discard(day.site, day.doing("05:00"), first, "leftover")

    assert [finding.code for finding in outcome.findings] == ["cause-of-other-kind"]
    assert outcome.receipt is not None
