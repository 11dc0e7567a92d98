"""What a runner carries: what is held first, then vials for the tables, then standby people."""

import pytest
from tests.cast import ROWAN, SORREL, a_day, at

from thawline.app import holds, vials
from thawline.app.carries import carries, hand_over, take
from thawline.app.drawn import lying
from thawline.app.in_force import in_force
from thawline.app.ports import Name
from thawline.app.standby import Told, add, answered
from thawline.app.standings import all_stood
from thawline.base.errors import NotFoundError, RecordError
from thawline.ledger.carry_events import CarryDone, CarryTaken
from thawline.person.standby import Answered


def wanted(day, when: str) -> list:
    """Return what is to be carried then."""
    with day.site.ledger.view() as view:
        rules = in_force(day.site, view, at(when))
        stands = tuple(all_stood(view, rules, at(when)))
        drawn = lying(view, rules, at(when))
        return list(carries(day.site, view, stands, drawn, at(when)))


def held(day) -> str:
    """Return a vial of table 1 that is held, with a syringe at chair 2 and one at the table."""
    [code] = day.ready("06:35")
    vials.open_vial(day.site, day.doing("08:00", station="table 1"), code)
    vials.draw(day.site, day.doing("08:10", station="table 1"), code)
    vials.draw(day.site, day.doing("08:12", station="chair 2"), code)
    holds.hold(day.site, day.doing("08:20", why="shaken"), [code])
    return code


def test_each_station_that_has_something_of_a_held_vial_is_gone_to():
    day = a_day()
    code = held(day)
    found = wanted(day, "08:30")
    assert [(each.start, each.what) for each in found] == [
        ("chair 2", f"vial {code}, syringe {code}-02"),
        ("table 1", f"syringe {code}-01"),
    ]
    assert {each.end for each in found} == {"the HELD tray"}


def test_a_carry_has_one_owner_and_is_over_when_it_was_handed_over():
    day = a_day()
    held(day)
    first, second = wanted(day, "08:30")
    take(day.site, day.doing("08:31", by=SORREL), first.key)
    assert wanted(day, "08:32")[0].state.by == SORREL
    take(day.site, day.doing("08:33", by=ROWAN), first.key)
    assert wanted(day, "08:34")[0].state.by == ROWAN
    hand_over(day.site, day.doing("08:35", by=ROWAN), first.key)
    assert [each.key for each in wanted(day, "08:36")] == [second.key]
    events = [type(each.event) for each in day.entries()[-3:]]
    assert events == [CarryTaken, CarryTaken, CarryDone]


def test_a_second_hold_of_the_same_vial_is_carried_anew():
    day = a_day()
    code = held(day)
    for each in wanted(day, "08:30"):
        hand_over(day.site, day.doing("08:31"), each.key)
    holds.hold(day.site, day.doing("08:40", why="particles"), [code])
    assert len(wanted(day, "08:41")) == 2


def test_a_syringe_that_is_held_alone_is_fetched_where_it_was_scanned_last():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:10", station="chair 2"), code)
    holds.hold(day.site, day.doing("08:20", why="needle touched"), [f"{code}-01"])
    found = [each for each in wanted(day, "08:30") if each.held]
    assert [(each.what, each.start) for each in found] == [(f"syringe {code}-01", "chair 2")]


def test_a_recall_reaches_the_syringes_of_a_vial_that_was_discarded_before():
    day = a_day()
    code = day.opened("07:00")
    vials.draw(day.site, day.doing("08:10", station="chair 2"), code)
    vials.discard(day.site, day.doing("08:15"), code, "leftover")
    holds.hold_lot(day.site, day.doing("08:20", why="withdrawn"), "ZZ-1041", "N-7")
    found = [each for each in wanted(day, "08:30") if each.held]
    assert [(each.what, each.start) for each in found] == [(f"syringe {code}-01", "chair 2")]
    hand_over(day.site, day.doing("08:31"), found[0].key)
    assert [each for each in wanted(day, "08:32") if each.held] == []
    holds.hold_lot(day.site, day.doing("08:40", why="again"), "ZZ-1041", "N-8")
    assert len([each for each in wanted(day, "08:41") if each.held]) == 1


def test_what_was_handed_over_is_not_taken_again():
    day = a_day()
    held(day)
    key = wanted(day, "08:30")[0].key
    hand_over(day.site, day.doing("08:31"), key)
    with pytest.raises(RecordError, match="was handed over by"):
        take(day.site, day.doing("08:32"), key)


def test_something_that_is_no_carry_is_not_recorded():
    day = a_day()
    with pytest.raises(NotFoundError, match="nothing like"):
        take(day.site, day.doing("08:32"), "lunch|chair 2")


def test_a_table_in_use_with_nothing_ready_gets_a_vial_of_its_own_lot():
    day = a_day()
    codes = day.thaw(2)
    vials.move(day.site, day.doing("06:35", station="table 1"), codes[:1], "table")
    vials.open_vial(day.site, day.doing("08:00", station="table 1"), codes[0])
    [found] = wanted(day, "08:30")
    assert (found.start, found.end) == ("the refrigerator", "table 1")
    assert found.what == f"vial {codes[1]}, lot ZZ-1041"
    vials.move(day.site, day.doing("08:31", station="table 1"), codes[1:], "table")
    assert wanted(day, "08:32") == []


def test_a_table_that_is_done_with_gets_no_vial():
    day = a_day()
    codes = day.thaw(2)
    vials.move(day.site, day.doing("06:35", station="table 1"), codes[:1], "table")
    vials.open_vial(day.site, day.doing("08:00", station="table 1"), codes[0])
    vials.discard(day.site, day.doing("08:20"), codes[0], "leftover")
    assert wanted(day, "08:30") == []


@pytest.mark.parametrize(("answer", "met"), [("comes", 1), ("no", 0), ("no-answer", 0)])
def test_whoever_comes_from_the_standby_list_is_met_at_the_door(answer, met):
    day = a_day()
    [code] = day.ready("06:35")
    vials.open_vial(day.site, day.doing("08:00", station="table 1"), code)
    add(
        day.site,
        day.doing("07:00"),
        "P-7",
        Told(10, name=Name("Linden Nobody", phone="555-0170")),
    )
    answered(day.site, day.doing("08:05"), "P-7", Answered(answer))
    found = [each for each in wanted(day, "08:30") if each.key.startswith("standby|P-7|")]
    assert [each.start for each in found] == ["the door"] * met
