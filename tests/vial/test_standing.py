"""
A vial while the rules change: a shorter limit at once, a longer one with new ink, and what ran
out stays out. Versions of the small made-up protocol; 5 h open in the first.
"""

from decimal import Decimal

import pytest
from msgspec.structs import replace
from tests.vial.stories import MS, OPEN, clock, found_codes, moment, story, under, version

from thawline.base.durations import read_allowance
from thawline.vial.reckon import State
from thawline.vial.standing import standing

FIRST = version(1, 1)
LONGER = version(2, 3, "08:00", open="PT7H")
SHORTER = version(2, 3, "08:00", open="PT3H")


def with_room_up_to(protocol, high_c):
    room = replace(protocol.bands["room"], high_c=Decimal(high_c))
    return replace(protocol, bands={**protocol.bands, "room": room})


def test_a_shorter_limit_counts_from_the_moment_it_is_in_force():
    told = story(*OPEN)

    before = standing(told, [FIRST, SHORTER], moment("08:00") - MS)
    after = standing(told, [FIRST, SHORTER], moment("08:00"))

    assert (before.use_by, after.use_by) == (moment("12:00"), moment("10:00"))


def test_a_longer_limit_waits_for_new_ink():
    versions = [LONGER, FIRST]  # in any order

    marked = under(versions, "09:00", *OPEN)
    flagged = under(versions, "09:00", *OPEN, "08:30 flag")

    assert (marked.use_by, flagged.use_by) == (moment("12:00"), moment("14:00"))


def test_a_flag_of_before_the_change_is_old_ink():
    assert under([FIRST, LONGER], "09:00", *OPEN, "07:59 flag").use_by == moment("12:00")
    assert under([FIRST, LONGER], "09:00", *OPEN, "08:00 flag").use_by == moment("14:00")


def test_a_flag_that_may_be_older_than_the_change_is_old_ink():
    found = under([FIRST, LONGER], "09:00", *OPEN, "07:50-08:10 flag")

    assert found.use_by == moment("12:00")


def test_a_vial_that_leaves_the_freezer_after_the_change_is_under_the_new_rules():
    late = ("08:30 to-fridge", "10:40 to-table", "11:00 open")

    assert under([FIRST, LONGER], "12:00", *late).use_by == moment("18:00")


def test_in_the_freezer_only_the_version_of_the_moment_counts():
    found = under([FIRST, version(2, 3, "08:00", chilled="P1D")], "09:00")

    assert (found.state, found.set_by) == (State.FROZEN, "label")


def test_a_vial_that_ran_out_stays_out_whatever_comes_later():
    late = version(2, 3, "13:00", open="PT9H")

    found = under([FIRST, late], "14:00", *OPEN, "13:30 flag")

    assert (found.usable, found_codes(found)) == (False, ["ran-out-before"])
    assert "version 1" in found.findings[0].says
    assert "12:00" in found.findings[0].says


def test_ending_exactly_when_the_new_version_starts_is_not_yet_run_out():
    late = version(2, 3, "12:00", open="PT9H")

    found = under([FIRST, late], "12:30", *OPEN, "12:00 flag")

    assert (found.usable, found.use_by) == (True, moment("16:00"))


def test_before_the_first_version_the_first_counts():
    assert under([version(1, 20)], "09:00", *OPEN).use_by == moment("12:00")


def test_a_version_that_is_not_in_force_yet_changes_nothing():
    assert under([FIRST, version(2, 20, open="PT1H")], "09:00", *OPEN).use_by == moment("12:00")


def test_the_later_of_the_ready_times_counts():
    facts = ("04:00 to-fridge", "05:00 to-table")
    one, two = version(1, 1), version(2, 3, "05:30")

    assert under([one, two], "05:40", *facts).ready_at == moment("05:50")


def test_a_vial_held_under_one_version_is_held():
    facts = ("04:00 to-fridge", "06:35 to-table room_c=26")

    found = under([FIRST, LONGER], "09:00", *facts)

    assert (found.state, found.usable) == (State.HELD, False)
    assert found_codes(found) == ["table-out-of-range"]


def test_a_discarded_vial_stays_discarded_even_if_it_was_held():
    found = under([FIRST, LONGER], "09:00", *OPEN, "07:30 hold", "07:40 discard")

    assert found.state is State.DISCARDED


def test_where_use_by_is_not_known_no_version_knows_it():
    came = "as=chilled room_used_min=0 transport_used_min=0 trips_used=1"

    found = under([FIRST, LONGER], "09:00", f"04:00 arrive {came}", "05:00 release")

    assert (found.use_by, found.usable) == (None, False)


@pytest.mark.parametrize(("time", "usable"), [("09:59:59.999", True), ("10:00", False)])
def test_the_limit_of_the_strictest_version_is_a_limit_like_any_other(time, usable):
    assert under([FIRST, SHORTER], time, *OPEN).usable is usable


def test_a_vial_that_an_older_version_holds_is_held_until_its_flag_is_new():
    warm = ("04:00 to-fridge", "06:35 to-table room_c=24")
    strict = with_room_up_to(FIRST, 20)

    assert under([strict, LONGER], "09:00", *warm).state is State.HELD
    assert not under([strict, LONGER], "09:00", *warm).usable
    assert under([strict, LONGER], "09:00", *warm, "08:30 flag").state is State.READY


def test_before_two_versions_only_the_first_counts():
    versions = [version(1, 20), version(2, 21, open="PT3H")]

    assert under(versions, "09:00", *OPEN).use_by == moment("12:00")


def test_of_three_versions_all_since_the_vial_was_marked_count_and_none_before():
    first, second, third = (
        version(1, 1, open="PT3H"),
        version(2, 2, open="PT7H"),
        version(3, 3, "08:00", open="PT9H"),
    )
    later = version(2, 3, "07:30", open="PT7H")

    assert under([first, second, third], "09:00", *OPEN).use_by == moment("14:00")
    assert under([first, later, third], "09:00", *OPEN).use_by == moment("10:00")


def test_the_strictest_version_says_by_which_clock_and_item():
    table_sets = version(2, 3, "08:00", open="PT30H")  # ten hours on the table from 06:35

    found = under([FIRST, table_sets], "09:00", *OPEN)

    assert (found.use_by, found.set_by, found.set_by_item) == (moment("12:00"), "open", "C4")
    assert clock(found, "open").ends == moment("12:00")


def test_what_an_older_version_finds_is_said():
    warm = ("04:00 to-fridge", "06:35 to-table room_c=24")

    found = under([with_room_up_to(FIRST, 20), LONGER], "09:00", *warm)

    assert found_codes(found) == ["table-out-of-range"]


def test_the_later_of_the_ready_times_counts_also_where_the_older_version_has_it():
    facts = ("04:00 to-fridge", "05:00 to-table")
    thaw = replace(FIRST.thaw, room=replace(FIRST.thaw.room, takes=read_allowance("PT3H")))

    found = under([replace(FIRST, thaw=thaw), LONGER], "09:00", *facts)

    assert found.ready_at == moment("08:00")
