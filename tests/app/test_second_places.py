"""
Places for second doses, given and moved as one act each; days counted on a calendar.

Harrowmint, March 2026. First doses on 4 February: day 28 is Wednesday 4 March.
"""

from datetime import date, time
from uuid import UUID

import pytest
from tests.cast import ROWAN, Day, a_day, at, small

from thawline.app.acts import act
from thawline.app.doses import told
from thawline.app.mending import undo
from thawline.app.ports import Name
from thawline.app.second_places import (
    assign,
    contact_of,
    move_places,
    placed_before,
)
from thawline.base.errors import RecordError, ReusedIdError, UnsaidError
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision
from thawline.ledger.events import EarlierDoseTold, PersonBooked
from thawline.ledger.person_events import SecondDosesPassedOn
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved
from thawline.person.fold import PERSON
from thawline.rebook.to_come import day_of
from thawline.rules.reading import read_protocol

TUE, WED, THU, SAT, MON = (date(2026, 3, day) for day in (3, 4, 5, 7, 9))
NOON = time(12)


@pytest.fixture
def march() -> Day:
    """The site on Tuesday 3 March, three people with a first dose on 4 February."""
    day = a_day(vials=0)
    day.now = at("18:00", 3, 3)
    for number in (1, 2, 3):
        _told(day, f"DEMO-{number:06d}", "2026-02-04")
    return day


def _told(day: Day, person: str, given_on: str) -> None:
    told(day.site, day.doing(), EarlierDoseTold(person=person, given_on=given_on))


def _assign(day: Day, places, **more):
    return assign(day.site, day.doing(by=ROWAN, **more), places, NOON)


def _move(day: Day, places, **more):
    return move_places(day.site, day.doing(by=ROWAN, **more), WED, places)


def _days(day: Day) -> list[date]:
    with day.site.ledger.view() as view:
        return [day_of(b) for _, state in view.all(PERSON) for b in state.bookings]


def test_everybody_without_a_place_gets_one_from_day_28_on_in_one_act(march):
    before = len(march.entries())

    found = _assign(march, {TUE: 9, WED: 2, THU: 9})

    assert isinstance(found.outcome.event, SecondDosesAssigned)
    assert len(march.entries()) == before + 1
    assert _days(march) == [WED, WED, THU]
    assert found.earliest_day == 28


def test_who_has_a_place_to_come_keeps_it_and_takes_one_of_the_day(march):
    _assign(march, {WED: 1})

    found = _assign(march, {WED: 2, THU: 9})

    assert sorted(found.slots) == ["DEMO-000002", "DEMO-000003"]
    assert [line.free for line in found.assignment.days] == [1, 9]


def test_a_place_that_was_missed_is_given_anew(march):
    _assign(march, {WED: 3})
    march.now = at("08:00", 5, 3)

    assert len(_assign(march, {THU: 9}).slots) == 3


def test_a_dry_run_answers_the_same_and_records_nothing(march):
    before = len(march.entries())

    found = _assign(march, {WED: 2}, dry_run=True)

    assert (len(found.slots), found.outcome.receipt) == (2, None)
    assert [each.person for each in found.assignment.without] == ["DEMO-000003"]
    assert len(march.entries()) == before


def test_a_snow_day_puts_everybody_on_later_days_and_off_the_old_one(march):
    _assign(march, {WED: 3})

    found = _move(march, {SAT: 2, MON: 2})

    assert isinstance(found.outcome.event, SecondDosesMoved)
    assert _days(march) == [SAT, SAT, MON]
    assert (found.earliest_day, found.assignment.days_waited) == (31, 3 + 3 + 5)


def test_a_move_is_undone_as_one_and_everybody_has_the_old_place_again(march):
    _assign(march, {WED: 3})
    moved = _move(march, {SAT: 3})

    undo(
        march.site, march.doing(by=ROWAN, why="roads are clear"), str(moved.outcome.receipt.seq)
    )

    assert _days(march) == [WED, WED, WED]


def test_a_moved_place_keeps_its_time_of_day_across_the_change_of_clocks(march):
    _assign(march, {WED: 3})  # at noon, 18:00 UTC; the clocks change on 8 March in Chicago

    found = _move(march, {MON: 3})

    assert found.slots["DEMO-000001"] == at("11:00", 9, 3)  # noon, five hours behind UTC


def test_nobody_is_moved_to_an_earlier_day_than_they_were_told(march):
    _assign(march, {THU: 3})

    found = move_places(march.site, march.doing(by=ROWAN), THU, {WED: 9, SAT: 9})

    assert {line.day: line.given for line in found.assignment.days} == {WED: 0, SAT: 3}


def test_a_place_that_became_too_early_is_moved_to_the_due_day_and_not_only_onwards(march):
    _assign(march, {WED: 3})
    longer = small().raw.replace(b'"P28D"', b'"P32D"').replace(b"version = 1", b"version = 2")
    march.adopt(read_protocol(longer.replace(b"2026-01-19", b"2026-03-05")), by=ROWAN)

    found = _move(march, {SAT: 9, MON: 9})  # from 5 March on the rule says day 32, 8 March

    assert {each.day for each in found.assignment.given} == {MON}


def test_a_place_today_is_not_given_a_second_time(march):
    _assign(march, {WED: 3})
    march.now = at("08:00", 4, 3)

    assert _assign(march, {WED: 9, THU: 9}).outcome is None


def test_nobody_to_move_records_nothing(march):
    found = _move(march, {SAT: 9})

    assert (found.outcome, found.slots, found.earliest_day) == (None, {}, None)


def test_a_place_without_a_known_first_dose_stays_and_is_named(march):
    event = PersonBooked(person="DEMO-000009", slot_ms=1772640000000, dose_number=2)
    _record(march, event)  # Wed 4 March 2026, 10:00 at the site

    assert _move(march, {SAT: 9}).not_known == ("DEMO-000009",)
    assert _days(march) == [WED]


def _record(day: Day, event) -> None:
    from thawline.app.acts import act  # noqa: PLC0415  only this fact has no use case
    from thawline.ledger.entries import Decision  # noqa: PLC0415  as above

    act(day.site, day.doing(by=ROWAN), {"command": "test"}, lambda _view: Decision(event))


def test_a_version_that_waits_longer_counts_for_the_days_after_it(march):
    longer = small().raw.replace(b'"P28D"', b'"P32D"').replace(b"version = 1", b"version = 2")
    march.adopt(read_protocol(longer.replace(b"2026-01-19", b"2026-03-06")), by=ROWAN)

    found = _assign(march, {WED: 9, SAT: 9, MON: 9})

    assert {each.day for each in found.assignment.given} == {MON}


@pytest.mark.parametrize(
    ("places", "says"),
    [
        ({}, "no day has places"),
        ({date(2026, 3, 2): 5}, "2026-03-02 is over; today is 2026-03-03"),
        ({WED: 5}, "2026-03-04 is the day that is closed"),
    ],
    ids=["no days", "a day that is over", "the closed day itself"],
)
def test_days_that_cannot_be_are_refused_by_name(march, places, says):
    with pytest.raises(RecordError, match=says):
        _move(march, places)


def test_an_act_that_nobody_is_named_for_is_refused(march):
    with pytest.raises(UnsaidError, match="nobody is named"):
        assign(march.site, march.doing(by=""), {WED: 3}, NOON)


def test_who_has_neither_phone_nor_mail_is_not_reachable(march):
    march.site.people.put("DEMO-000001", Name("Bryony Testwick", phone="555-0101"))
    march.site.people.put("DEMO-000002", Name("Hazel Rainmoor"))

    reached = [contact_of(march.site, f"DEMO-00000{n}").is_reachable for n in (1, 2, 3)]

    assert reached == [True, False, False]


def test_a_place_booked_since_the_first_look_is_not_given_twice(march):
    doing = march.doing(by=ROWAN, occurred=exactly(at("18:00", 3, 3)))
    _assign(march, {WED: 3})

    assert assign(march.site, doing, {WED: 3}, NOON).outcome is None


def test_who_is_passed_on_to_another_site_in_the_same_minute_gets_no_second_place(march):
    passed = SecondDosesPassedOn(
        people=("DEMO-000001",), slots_ms=(to_ms(at("09:00", 4, 3)),), to_site="oddmoor"
    )
    record = march.site.ledger.record

    def overtaken(asked, decide):
        march.site.ledger.record = record
        act(march.site, march.doing(), {"command": "x"}, lambda _: Decision(passed))
        return record(asked, decide)

    march.site.ledger.record = overtaken
    found = _assign(march, {WED: 9})

    assert found.outcome.event.people == ("DEMO-000002", "DEMO-000003")


ONCE = UUID("01936b1e-0000-7000-8000-000000000001")


def test_asked_again_by_its_id_the_same_places_are_in_the_answer(march):
    first = _assign(march, {WED: 9}, id=ONCE)

    again = placed_before(march.site, march.doing(by=ROWAN, id=ONCE), {WED: 9})

    assert (again.receipt.seq, again.receipt.again) == (first.outcome.receipt.seq, True)
    assert again.event == first.outcome.event


def test_a_new_id_was_not_recorded_before_and_other_places_are_another_act(march):
    assert placed_before(march.site, march.doing(by=ROWAN, id=ONCE), {WED: 9}) is None
    _assign(march, {WED: 9}, id=ONCE)

    with pytest.raises(ReusedIdError):
        placed_before(march.site, march.doing(by=ROWAN, id=ONCE), {WED: 8})


def test_a_move_asked_again_by_its_id_is_the_same_one(march):
    _assign(march, {WED: 9})
    first = _move(march, {SAT: 9}, id=ONCE)

    again = placed_before(march.site, march.doing(by=ROWAN, id=ONCE), {SAT: 9}, WED)

    assert again.event == first.outcome.event
