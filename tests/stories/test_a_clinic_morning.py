"""
A morning at Harrowmint, from the frozen carton to the empty vial, on the real ledger.

Example-10, version 2 (made up): 10 doses a vial, 2 h 30 min in the refrigerator and 15 min on
the table, 12 h on the table, 6 h open.
"""

import pytest
from tests.cast import BRYONY, HAZEL, ROWAN, at, small, with_second
from tests.stories.hall import Hall

from thawline.app.holds import Asked, hold, people_of_lot, release
from thawline.app.vials import discard, flag, waste
from thawline.base.errors import RefusedError, SecondPersonError
from thawline.prepare.opening import next_ones
from thawline.vial.facts import story_of
from thawline.vial.reckon import State


@pytest.fixture
def hall(tmp_path):
    """Harrowmint with 40 vials in the freezer and six of them thawing since 05:00."""
    place = Hall(tmp_path)
    place.receive("01:00", 40)
    return place


def refused(act, *rest, **more):
    with pytest.raises(RefusedError) as raised:
        act(*rest, **more)
    return [finding.code for finding in raised.value.findings]


def test_a_dose_goes_from_the_carton_into_an_arm(hall):
    first, second = hall.thaw("05:00", 2)
    too_early = refused(hall.open, "07:00", first)
    hall.to_table("07:35", [first, second])
    still_standing = refused(hall.open, "07:49", first)
    hall.open("07:50", first)
    syringe, *others = hall.draw("08:00", first, 4, "table-1")
    may = hall.may_give("08:05", syringe, "DEMO-000001")
    given = hall.give("08:06", syringe, "DEMO-000001")

    assert (too_early, still_standing) == (["not-ready"], ["not-ready"])
    assert may <= {"person-not-known", "kit-not-checked"}
    assert given.event.lot == "ZZ-1041"
    assert hall.standing("08:10", first).vial.left == 6
    assert [one.person for one in people_of_lot(hall.site, "ZZ-1041")] == ["DEMO-000001"]
    assert len(others) == 3


def test_no_dose_is_lost_between_the_carton_and_the_evening(hall):
    vials = hall.thaw("05:00", 3)
    hall.to_table("07:35", vials)
    for vial in vials[:2]:
        hall.open("08:00", vial)
    drawn = [
        *hall.draw("08:10", vials[0], 10, "table-1"),
        *hall.draw("08:11", vials[1], 7, "table-1"),
    ]
    for number, syringe in enumerate(drawn[:14]):
        hall.give(f"08:{20 + number}", syringe, f"DEMO-{number:06d}")
    for syringe in drawn[14:16]:
        waste(hall.site, hall.doing("09:00"), f"syringe:{syringe}", 1, "not-taken")
    discard(hall.site, hall.doing("09:10"), vials[0], "leftover")
    ended = discard(hall.site, hall.doing("09:11"), vials[1], "leftover")

    standing = hall.all_standing("12:00")
    left = sum(standing[vial].vial.left for vial in vials)
    assert ended.event.doses == 3
    assert len(people_of_lot(hall.site, "ZZ-1041")) == 14
    assert left + 14 + 2 + 3 + 1 == 30  # in vials, given, wasted drawn, wasted left, one drawn


def test_the_evening_finds_on_disk_what_the_morning_wrote(hall):
    vials = hall.thaw("05:00", 3)
    hall.to_table("07:35", vials)
    hall.open("08:00", vials[0])
    hall.draw("08:10", vials[0], 4, "table-1")
    hold(hall.site, hall.doing("08:31", why="shaken"), [vials[0]])

    again = hall.all_standing("09:00", hall.reopened())

    assert again == hall.all_standing("09:00")
    assert again[vials[0]].reckoning.state is State.HELD


def test_a_shaken_vial_is_stopped_at_both_chairs_and_freed_by_two_people(hall):
    (vial,) = hall.thaw("05:00", 1)
    hall.to_table("07:35", [vial])
    hall.open("08:00", vial)
    at_chair_2, at_chair_5, given = hall.draw("08:10", vial, 3, "table-1")
    hall.give("08:20", given, "DEMO-000001")

    _, out = hold(hall.site, hall.doing("13:31", HAZEL, why="shaken"), [vial])
    alone = hall.doing("13:40", ROWAN, why="health unit: use")
    with pytest.raises(SecondPersonError):
        release(hall.site, with_second(alone, BRYONY, by_own_entry=False), [vial], Asked())
    held = "held" in hall.may_give("13:41", at_chair_5, "DEMO-000002")
    asked = Asked("Upper Velleny Health Unit", "use it", "UV-17")
    release(hall.site, with_second(hall.doing("13:45", ROWAN, why="told: use")), [vial], asked)

    assert {each.syringe for each in out} == {at_chair_2, at_chair_5}
    assert held is True
    assert "held" not in hall.may_give("13:46", at_chair_5, "DEMO-000002")


def test_at_two_o_clock_the_vial_is_past_and_so_is_its_last_syringe(hall):
    (vial,) = hall.thaw("05:00", 1)
    hall.to_table("07:35", [vial])
    hall.open("08:00", vial)
    (syringe,) = hall.draw("13:50", vial, 1, "table-1")

    before = hall.may_give("13:59:59.999", syringe, "DEMO-000002")
    after = hall.may_give("14:00", syringe, "DEMO-000002")

    assert "past-use-by" not in before
    assert "past-use-by" in after
    assert refused(hall.draw, "14:00", vial, 1, "table-1") == ["past-use-by"]


def test_the_next_vial_is_the_one_whose_time_runs_out_first(hall):
    early, late = hall.thaw("05:00", 1)[0], hall.thaw("05:30", 1)[0]
    hall.to_table("08:05", [late])
    hall.to_table("08:10", [early])
    hall.open("08:30", early)

    found = [
        (code, each.reckoning, story_of(each.vial, None).last_day)
        for code, each in hall.all_standing("08:40").items()
    ]

    assert next_ones(found) == [early, late]


def test_new_rules_shorten_at_once_and_lengthen_with_new_ink(tmp_path):
    """The small protocol (made up): table time 10 h to 8 h, open 5 h to 7 h, from 11:00."""
    hall = Hall(tmp_path, rules=small())
    hall.receive("01:00", 40)
    closed, opened = hall.thaw("04:00", 2)
    hall.to_table("06:35", [closed, opened])
    hall.open("07:00", opened)
    later = small(
        version=2, effective_from="2026-02-03T11:00:00-06:00", room="PT8H", open="PT7H"
    )
    hall.adopt("10:00", later)

    def use_by(clock, vial):
        return hall.standing(clock, vial).reckoning.use_by

    assert (use_by("10:59", closed), use_by("11:00", closed)) == (at("16:35"), at("14:35"))
    assert (use_by("10:59", opened), use_by("11:00", opened)) == (at("12:00"), at("12:00"))
    flag(hall.site, hall.doing("11:40"), [opened])
    assert use_by("11:41", opened) == at("14:00")


def test_a_carton_found_soft_is_kept_cold_and_apart_until_somebody_decides(tmp_path):
    hall = Hall(tmp_path)
    hall.receive("01:00", 5, soft=True)

    vials = hall.thaw("01:10", 5)

    states = {each.reckoning.state for each in hall.all_standing("06:00").values()}
    assert refused(hall.to_table, "06:00", vials[:1]) == ["held"]
    assert states == {State.HELD}
    with_two = with_second(hall.doing("09:00", ROWAN, why="health unit: use"))
    release(hall.site, with_two, vials, Asked("Health Unit", "use", "UV-21"))
    assert hall.standing("09:01", vials[0]).reckoning.usable is True
