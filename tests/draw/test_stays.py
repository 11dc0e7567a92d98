"""
One vial's states: the worked example of docs/background/vial-clocks.md, times typed from there.

Thaw of 2 h 30 min, then 15 min on the table: common practice. The vial is invented.
"""

import pytest

from thawline.adapters.rule_files import load
from thawline.base.instants import local_time, read_instant, zone_named
from thawline.draw.stays import stay_lines, stays_of
from thawline.vial.reckon import State
from thawline.vial.story import read_story

CHICAGO = zone_named("America/Chicago")
TOLD = {
    "lot": "ZZ-1041",
    "expiry": "2026-08",
    "zone": "America/Chicago",
    "events": [
        {"at": "2026-02-03T04:00:00-06:00", "what": "to-fridge"},
        {"at": "2026-02-03T06:35:00-06:00", "what": "to-table"},
        {"at": "2026-02-03T07:02:00-06:00", "what": "open"},
    ],
}


@pytest.fixture(name="versions", scope="module")
def _versions():
    return [load("example-10-v2").protocol]


def _stays(versions, until, *more):
    story = read_story({**TOLD, "events": [*TOLD["events"], *more]})
    return stays_of(story, versions, read_instant(f"2026-02-03T{until}-06:00"))


def test_a_vial_goes_through_its_states_at_the_minutes_of_the_worked_example(versions):
    stays = _stays(versions, "09:00")

    assert [
        (s.state.value, local_time(s.starts, CHICAGO).strftime("%H:%M:%S")) for s in stays
    ] == [
        ("thawing", "04:00:00"),
        ("chilled", "06:30:00"),
        ("warming", "06:35:00"),
        ("ready", "06:50:00"),
        ("open", "07:02:00"),
    ]


def test_stays_follow_each_other_without_a_gap(versions):
    stays = _stays(versions, "09:00")

    assert [each.ends for each in stays[:-1]] == [each.starts for each in stays[1:]]


def test_a_hold_begins_a_stay_that_lasts(versions):
    held = {"at": "2026-02-03T08:00:00-06:00", "what": "hold", "why": "shaken"}

    assert [each.state for each in _stays(versions, "09:00", held)][-2:] == [
        State.OPEN,
        State.HELD,
    ]


def test_an_act_that_changes_no_state_begins_no_stay(versions):
    drawn = {"at": "2026-02-03T07:05:00-06:00", "what": "draw", "doses": 3}

    assert len(_stays(versions, "09:00", drawn)) == 5


def test_only_what_has_happened_by_then_is_shown(versions):
    assert [each.state for each in _stays(versions, "06:00")] == [State.THAWING]


def test_lines_say_state_times_and_length_with_its_texture(versions):
    lines = stay_lines(_stays(versions, "08:02"), CHICAGO)

    assert lines[0] == "thawing   Tue 04:00 to Tue 06:30       2 h 30 min  " + 40 * "."
    assert lines[4] == "open      Tue 07:02 to Tue 08:02              1 h  ================"


def test_the_shortest_stay_still_shows(versions):
    held = {"at": "2026-02-03T08:59:00-06:00", "what": "hold", "why": "shaken"}

    assert stay_lines(_stays(versions, "09:00", held), CHICAGO)[-1].endswith(" 1 min  #")
