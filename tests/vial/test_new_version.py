"""What a change of rules does to vials under way; versions 3 and 4 of the made-up example."""

import pytest

from thawline.adapters import rule_files
from thawline.base.instants import read_instant, written
from thawline.vial.new_version import moved
from thawline.vial.story import read_story

OLD = rule_files.load("example-10-v3").protocol  # 12 h on the table, 6 h open
NEW = rule_files.load("example-10-v4").protocol  # 10 h on the table, 7 h open
CHANGE = read_instant("2026-02-05T05:50:00-06:00")


def _story(*events, expiry="2026-08"):
    facts = [{"at": f"2026-02-{at}:00-06:00", "what": what} for at, what in events]
    zone = "America/Chicago"
    return read_story({"lot": "ZZ-1041", "expiry": expiry, "zone": zone, "events": facts})


def _local(at, story):
    return written(at, story.zone)[8:16]


def test_a_shorter_limit_counts_at_once():
    story = _story(("04T14:00", "to-fridge"), ("05T02:00", "to-table"))

    found = moved(story, OLD, NEW, CHANGE)

    assert (_local(found.use_by_before, story), _local(found.use_by_after, story)) == (
        "05T14:00",
        "05T12:00",
    )
    assert (found.usable_now, found.reason) == (True, "shorter by item C2")


def test_a_vial_past_the_shorter_limit_is_not_usable_any_more():
    story = _story(("04T14:00", "to-fridge"), ("04T19:00", "to-table"))

    found = moved(story, OLD, NEW, CHANGE)

    assert _local(found.use_by_before, story) == "05T07:00"
    assert not found.usable_now
    assert found.reason.startswith("not usable any more: past its use-by time: room")


def test_a_longer_limit_waits_for_a_new_flag():
    story = _story(("04T18:00", "to-fridge"), ("05T00:00", "to-table"), ("05T01:00", "open"))

    found = moved(story, OLD, NEW, CHANGE)

    assert found.use_by_before == found.use_by_after
    assert found.reason == "longer, until 2026-02-05T08:00:00-06:00, once a new flag is scanned"


def test_a_change_never_brings_back_a_vial_that_had_run_out():
    story = _story(("04T18:00", "to-fridge"), ("04T22:00", "to-table"), ("04T23:00", "open"))

    found = moved(story, OLD, NEW, CHANGE)

    assert _local(found.use_by_before, story) == "05T05:00"
    assert not found.usable_now
    assert found.reason.startswith("not usable before either: past its use-by time: open")


def test_a_vial_past_two_limits_is_told_both():
    story = _story(("04T18:00", "to-fridge"), ("04T22:00", "to-table"), ("04T23:00", "hold"))

    found = moved(story, OLD, NEW, read_instant("2026-02-05T11:00:00-06:00"))

    assert found.reason == (
        "not usable before either: HELD \N{EN DASH} DO NOT USE; "
        "past its use-by time: room ended 2026-02-05T10:00:00-06:00"
    )


def test_a_vial_in_the_refrigerator_does_not_move():
    story = _story(("04T18:00", "to-fridge"))

    found = moved(story, OLD, NEW, CHANGE)

    assert found.use_by_before == found.use_by_after
    assert (found.usable_now, found.reason) == (True, "no change")


def test_a_discarded_vial_stays_what_it_is():
    story = _story(("04T18:00", "to-fridge"), ("04T19:00", "discard"))

    assert moved(story, OLD, NEW, CHANGE).reason == "not usable before either: discarded"


@pytest.mark.parametrize("at", ["2026-02-03T06:00:00-06:00", "2026-02-09T06:00:00-06:00"])
def test_a_draft_can_be_looked_at_before_its_day_and_after(at):
    moment = read_instant(at)
    day = at[8:10]
    story = _story((f"{int(day) - 1:02}T10:00", "to-fridge"), (f"{day}T03:00", "to-table"))

    found = moved(story, OLD, NEW, moment)

    assert _local(found.use_by_after, story) == f"{day}T13:00"
    assert found.usable_now
