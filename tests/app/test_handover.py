"""The handover: what is spoken in which order, and who took over from whom. All invented."""

import pytest
from tests.app.chairs import MARSH, a_chair, given, needle, noted
from tests.cast import BRYONY, HAZEL, ROWAN, a_day, at

from thawline.app.handover import accept, handover
from thawline.app.holds import hold
from thawline.app.in_force import in_force
from thawline.app.standings import all_stood
from thawline.base.errors import RecordError


def _now(day, clock):
    with day.site.ledger.view() as view:
        stands = tuple(all_stood(view, in_force(day.site, view, at(clock)), at(clock)))
        return handover(day.site, view, stands, at(clock))


def test_open_vials_and_what_lies_drawn_come_first():
    day, vial, _ = a_chair()
    found = _now(day, "07:20")
    assert [each.code for each in found.open_vials] == [vial]
    assert (found.lying, found.held, found.paused) == (3, (), None)


def test_a_held_vial_is_spoken_of_as_held_and_no_longer_as_open():
    day, vial, _ = a_chair()
    hold(day.site, day.doing("07:20", why="particles"), [vial])
    found = _now(day, "07:21")
    assert ([each.code for each in found.held], found.open_vials) == ([vial], ())
    assert "vial-held" in [each.code for each in found.alerts]


def test_whoever_stays_and_whoever_has_no_dose_recorded_are_named_by_code():
    day, _, (first, second, _) = a_chair()
    given(day, needle(MARSH, first), "07:15")
    noted(day, needle("DEMO-000002", second), "07:16")
    found = _now(day, "07:17")
    assert [each.person for each in found.staying] == [MARSH]
    assert [each.person for each in found.unrecorded] == ["DEMO-000002"]


def test_who_took_over_is_recorded_with_how_things_stood():
    day, _, _ = a_chair()
    event = accept(day.site, day.doing("07:20", by=BRYONY), f" {ROWAN} ").event
    assert (event.handed_by, event.open_vials, event.held) == (ROWAN, 1, 0)


@pytest.mark.parametrize("name", ["", "  ", HAZEL.upper()], ids=["nobody", "spaces", "oneself"])
def test_a_handover_is_between_two_people(name):
    day = a_day(vials=0)
    with pytest.raises(RecordError, match="between two people"):
        accept(day.site, day.doing("07:20", by=HAZEL), name)
