"""
The thaw plan of a site's day and of a file, by the cast's made-up protocol.

8 doses a vial, 2 hours in the refrigerator, then 10 minutes; straight to the table 50 minutes.
People are sure to come where no share is named, so the vials can be counted on one's fingers.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from tests.cast import CHICAGO, ROWAN, a_day, at, codes, small

from thawline.app.acts import act
from thawline.app.holds import hold
from thawline.app.plans import Ask, Given, Slot, plan_for_site, plan_for_slots
from thawline.app.vials import draw, move, open_vial
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseGiven, PersonBooked
from thawline.plan.no_show import NoShow, SaidBy, by_hand
from thawline.plan.thaw import OnHand

TUESDAY, WEDNESDAY = date(2026, 2, 3), date(2026, 2, 4)
EVERYBODY_COMES = by_hand(0.0)


def _record(day, command, event, kind, occurred):
    doing = replace(day.doing(), occurred=exactly(occurred))
    act(day.site, doing, {"command": command}, lambda _: Decision(event), kind=kind)


def _book(day, count, slot, first=1, group=""):
    for number in range(first, first + count):
        event = PersonBooked(
            person=f"DEMO-{number:06d}", slot_ms=to_ms(slot), dose_number=1, group=group
        )
        _record(day, "booking load", event, Kind.COMMAND, day.now)


def _give(day, first, last, when):
    for number in range(first, last + 1):
        event = DoseGiven(person=f"DEMO-{number:06d}", dose_number=1, lot="ZZ-1041")
        _record(day, "dose give", event, Kind.FACT, when)


def _ask(day, on=TUESDAY, no_show=EVERYBODY_COMES, service=0.95):
    return plan_for_site(day.site, Ask(day.now, on, service, no_show))


def _moves(planned):
    return [(need.to_fridge, need.to_table) for need in planned.plan.needs]


def test_the_sites_own_bookings_and_protocol_make_the_plan():
    day = a_day()
    _book(day, 9, at("09:00"))
    _book(day, 8, at("10:00"), first=10)

    planned = _ask(day)

    assert _moves(planned) == [(2, 2), (1, 1)]
    need = planned.plan.needs[0]
    assert (need.fridge_by, need.table_by) == (at("06:50"), at("08:50"))
    assert need.straight_by == at("08:10")
    assert planned.ref.id == "small"


def test_the_plan_says_how_old_its_bookings_are():
    day = a_day()
    _book(day, 1, at("09:00"))
    day.now = at("02:30")
    _book(day, 1, at("09:30"), first=2)
    day.now = at("03:00")

    assert _ask(day).day.as_of == at("02:30")


def test_left_out_the_day_is_the_next_one_with_bookings():
    day = a_day()
    _book(day, 1, at("09:00"))
    _book(day, 1, at("09:00", 4), first=2)

    assert _ask(day, on=None).day.day == TUESDAY
    day.now = at("09:29:59")
    assert _ask(day, on=None).day.day == TUESDAY
    day.now = at("09:30")
    assert _ask(day, on=None).day.day == WEDNESDAY


@pytest.mark.parametrize("on", [None, WEDNESDAY], ids=["any day", "that day"])
def test_a_day_without_bookings_has_no_plan(on):
    with pytest.raises(NotFoundError, match="nobody is booked"):
        _ask(a_day(), on=on)


def test_half_hours_that_are_over_and_people_who_had_their_dose_are_left_out():
    day = a_day()
    _book(day, 5, at("08:30"))
    _book(day, 5, at("09:00"), first=6)
    _give(day, 1, 3, at("08:40"))
    _give(day, 6, 6, at("08:50"))
    day.now = at("09:10")

    planned = _ask(day)

    assert planned.plan.booked == 4
    assert planned.day.passed == 2


def test_another_day_is_planned_whole():
    day = a_day()
    _book(day, 5, at("08:30", 4))
    day.now = at("09:10")

    assert _ask(day, on=WEDNESDAY).plan.booked == 5


# --- what is thawed already ----------------------------------------------------------------


def test_chilled_vials_need_no_fridge_and_ready_doses_no_vial():
    day = a_day()
    _book(day, 25, at("09:00"))
    day.ready("06:35", count=1)
    day.thaw(1)

    planned = _ask(day)

    assert planned.on_hand == OnHand(ready_doses=8, chilled_vials=1)
    assert _moves(planned) == [(2, 3)]


def test_an_open_vial_counts_with_what_is_left_in_it():
    day = a_day()
    _book(day, 9, at("09:00"))
    vial = day.opened("07:00")
    draw(day.site, day.doing("07:05"), vial, 5)

    assert _ask(day).on_hand.ready_doses == 3


def test_an_open_vial_that_will_be_past_by_then_does_not_count():
    day = a_day()
    _book(day, 9, at("12:00"))
    day.opened("07:00")

    assert _ask(day).on_hand.ready_doses == 0


def test_a_vial_thawing_on_the_table_counts_as_ready_doses():
    day = a_day()
    _book(day, 8, at("09:00"))
    (code,) = day.thaw(1, "07:00")
    move(day.site, day.doing("07:30", by=ROWAN), [code], "table")

    assert _ask(day).on_hand == OnHand(ready_doses=8)


def test_held_vials_do_not_count():
    day = a_day()
    _book(day, 9, at("09:00"))
    vials = day.thaw(2)
    hold(day.site, day.doing("05:00", why="shaken"), vials[:1])

    assert _ask(day).on_hand == OnHand(chilled_vials=1)


def test_a_vial_that_was_opened_while_thawing_does_not_count():
    day = a_day()
    _book(day, 8, at("09:00"))
    (code,) = day.thaw(1, "08:00")
    open_vial(day.site, day.doing("08:05", happened=True), code)

    assert _ask(day).on_hand == OnHand()


def test_tomorrow_gets_the_chilled_vials_that_today_leaves():
    day = a_day()
    _book(day, 9, at("09:00"))
    _book(day, 20, at("09:00", 4), first=20)
    day.thaw(3)

    assert _ask(day, on=WEDNESDAY).on_hand == OnHand(chilled_vials=1)


def test_tomorrow_gets_all_chilled_vials_when_nobody_is_booked_today():
    day = a_day()
    _book(day, 20, at("09:00", 4))
    day.thaw(3)

    assert _ask(day, on=WEDNESDAY).on_hand == OnHand(chilled_vials=3)


def test_what_is_thawed_is_not_promised_past_the_next_day():
    day = a_day()
    _book(day, 5, at("09:00", 4))
    _book(day, 5, at("09:00", 5), first=20)
    day.thaw(3)

    assert _ask(day, on=date(2026, 2, 5)).on_hand == OnHand()


def test_a_chilled_vial_that_runs_out_before_the_end_does_not_count():
    day = a_day(small(chilled="PT20H"))
    _book(day, 8, at("09:00", 4))
    day.thaw(2)

    assert _ask(day, on=WEDNESDAY).on_hand == OnHand()


# --- who stays away ------------------------------------------------------------------------


def test_the_share_is_learned_from_earlier_days_on_which_doses_were_given():
    day = a_day()
    _book(day, 10, at("09:00", 1))
    _book(day, 6, at("09:00", 2), first=11)
    _book(day, 20, at("09:00"), first=20)
    _give(day, 1, 9, at("09:10", 1))
    _give(day, 20, 20, at("00:10"))

    no_show = _ask(day, no_show=None).no_show

    assert no_show.share("") == 0.1
    assert no_show.said_by is SaidBy.RECORD
    assert "1 of 10 bookings on 1 earlier day " in no_show.says


def test_without_a_share_and_without_earlier_days_it_is_asked_for():
    day = a_day()
    _book(day, 5, at("09:00"))

    with pytest.raises(RecordError, match="no no-show share") as caught:
        _ask(day, no_show=None)

    assert "--no-show" in caught.value.advice


def test_each_group_stays_away_by_its_own_share():
    day = a_day()
    _book(day, 8, at("09:00"), group="sure")
    _book(day, 8, at("09:00"), first=9, group="never")
    shares = NoShow({"sure": 0.0, "never": 1.0}, SaidBy.FILE, "by group")

    assert _ask(day, no_show=shares).plan.planned_vials == 1


# --- moves that are late -------------------------------------------------------------------


def test_moves_whose_moment_has_passed_are_findings():
    day = a_day()
    _book(day, 8, at("09:00"))
    day.now = at("07:00")

    assert codes(_ask(day).findings) == ["too-late-for-fridge"]
    day.now = at("06:50")
    assert codes(_ask(day).findings) == []


def test_a_day_that_is_over_has_nothing_late():
    day = a_day()
    _book(day, 8, at("09:00"))
    day.now = at("09:00", 4)

    assert _ask(day).findings == ()


def test_the_version_of_the_planned_day_counts():
    day = a_day()
    longer = small(version=2, effective_from="2026-02-04T06:00:00-06:00")
    day.adopt(longer, by=ROWAN)
    _book(day, 8, at("09:00"))
    _book(day, 8, at("09:00", 4), first=20)

    assert _ask(day).ref.version == 1
    assert _ask(day, on=WEDNESDAY).ref.version == 2


# --- from a file ---------------------------------------------------------------------------


def _from_file(slots, on=None, no_show=EVERYBODY_COMES, on_hand=None):
    ask = Ask(at("00:00"), on, 0.95, no_show)
    rules = small()
    given = Given(CHICAGO, on_hand or OnHand(), at("00:00"))
    return plan_for_slots(slots, ask, lambda _: (rules.protocol, rules.ref), given)


def test_a_file_of_one_day_needs_no_day():
    planned = _from_file([Slot(at("09:00"), "")] * 9, on_hand=OnHand(ready_doses=1))

    assert planned.day.day == TUESDAY
    assert _moves(planned) == [(1, 1)]


def test_a_file_of_several_days_asks_for_the_day():
    slots = [Slot(at("09:00"), ""), Slot(at("09:00", 4), "")]

    with pytest.raises(RecordError, match="bookings on 2 days") as caught:
        _from_file(slots)

    assert "--on 2026-02-03" in caught.value.advice
    assert _from_file(slots, on=WEDNESDAY).plan.booked == 1


@pytest.mark.parametrize("on", [None, WEDNESDAY])
def test_a_file_without_bookings_for_the_day_has_no_plan(on):
    slots = [] if on is None else [Slot(at("09:00"), "")]

    with pytest.raises(NotFoundError, match="nobody is booked"):
        _from_file(slots, on=on)


def test_a_file_needs_a_no_show_share():
    with pytest.raises(RecordError, match="no no-show share"):
        _from_file([Slot(at("09:00"), "")], no_show=None)


def test_a_local_day_is_the_places_own():
    late = Slot(at("23:45"), "")

    assert _from_file([late]).day.day == TUESDAY
    assert late.at + timedelta(minutes=15) == at("00:00", 4)
