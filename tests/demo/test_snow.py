"""
The snow day: 900 second doses off Wednesday 4 March, counted here entry by entry.

What must come of it stands in the story of the demo; day numbers are counted on a calendar:
first doses on 4 February, so 7 March is day 31 and 9 March day 33.
"""

from collections import Counter
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from thawline.app.acts import Doing
from thawline.app.mending import undo
from thawline.base.instants import exactly, from_ms, local_date
from thawline.cli.second_pages import unreachable
from thawline.demo.district import REAL_ZONE
from thawline.demo.snow import snow_day
from thawline.person.fold import PERSON
from thawline.rebook.to_come import day_of

MEMORY = Path("/dev/shm")  # noqa: S108  nothing here is about power cuts, and it is quicker
FIRST = date(2026, 2, 4)


@pytest.fixture(name="moves", scope="module")
def _moves():
    with TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield snow_day(Path(folder), 7, REAL_ZONE)  # clocks change on 8 March there


def _days(moves) -> Counter[int]:
    found: Counter[int] = Counter()
    for moved in moves:
        for slot in moved.planned.slots.values():
            found[(local_date(slot, moved.site.zone) - FIRST).days] += 1
    return found


def test_506_and_394_people_are_moved_to_day_31_and_33_and_nobody_earlier(moves):
    assert [len(moved.planned.slots) for moved in moves] == [506, 394]
    assert _days(moves) == {31: 270 + 210, 33: 236 + 184}


def test_nobody_is_left_without_a_place_or_late(moves):
    plans = [moved.planned.assignment for moved in moves]

    assert [(plan.without, plan.late) for plan in plans] == [((), ()), ((), ())]


def test_23_people_cannot_be_reached_and_are_named(moves):
    named = [person for moved in moves for person in unreachable(moved.site, moved.planned)]

    assert len(set(named)) == 23


def test_a_move_keeps_the_time_on_the_wall_also_after_the_clocks_change(moves):
    event = moves[0].planned.outcome.event
    zone = moves[0].site.zone
    walls = [
        {from_ms(ms).astimezone(zone).time() for ms in pair}
        for pair in zip(event.left_ms, event.slots_ms, strict=True)
    ]

    assert {len(wall) for wall in walls} == {1}


def test_one_undo_puts_the_whole_site_back_on_wednesday(moves):
    site, now = moves[0].site, moves[0].site.now()
    doing = Doing("Rowan Thistle", exactly(now), now, site.mint(), why="roads are clear")
    undo(site, doing, str(moves[0].planned.outcome.receipt.seq))

    with site.ledger.view() as view:
        days = Counter(day_of(b) for _, state in view.all(PERSON) for b in state.bookings)
    assert days == {date(2026, 3, 4): 506}
