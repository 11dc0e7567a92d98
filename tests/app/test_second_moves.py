"""Second doses that go to another site, recorded at both. Invented; costs by hand."""

from dataclasses import replace
from datetime import date, time
from uuid import UUID

import pytest
from tests.app.chairs import FEN, MARSH, card
from tests.cast import _FIGURES, ROWAN, SMALL, a_day, at, codes

from thawline.app.acts import act
from thawline.app.mending import undo
from thawline.app.ports import Name
from thawline.app.second_between import share_between
from thawline.app.second_moves import record_moves
from thawline.base.errors import BusyError, IndeterminateError, RecordError, RefusedError
from thawline.base.instants import to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import PersonBooked
from thawline.ledger.person_events import (
    PersonArrived,
    SecondDosesPassedOn,
    SecondDosesTakenOver,
)
from thawline.ledger.standby_events import StandbyAdded
from thawline.person.fold import PERSON
from thawline.plan.second_between import GivenAt
from thawline.plan.second_places import Asked, Given
from thawline.rules.reading import read_protocol

SMALL_TEXT = SMALL.format(**_FIGURES)
DAY_28 = date(2026, 3, 3)
PLACES = {"harrowmint": {DAY_28: 0}, "oddmoor": {DAY_28: 2}}
BRYONY = Name("Bryony Testwick", "1951-01-20", "555-0142")


@pytest.fixture
def two():
    """Harrowmint, where two people had a first dose on 3 February, and Oddmoor with room."""
    home, other = a_day(vials=0), a_day(vials=0)
    other.site = replace(other.site, name="oddmoor", now=lambda: other.now)
    home.now = other.now = at("18:00")
    for person in (MARSH, FEN):
        card(home, "2026-02-03", person)
    return home, other


def _given(person, day=DAY_28, site="oddmoor"):
    given = Given(Asked(person, day, date(2026, 3, 17)), day)
    return GivenAt(given, "harrowmint", site)


def _move(two, *given, places=PLACES, **more):
    sites = {day.site.name: day.site for day in two}
    doing = {day.site.name: day.doing(by=ROWAN, **more) for day in two}
    return record_moves(sites, doing, given, places, time(12))


def _events(day, kind):
    return [entry.event for entry in day.entries() if isinstance(entry.event, kind)]


def test_each_site_has_the_move_in_its_own_record(two):
    home, other = two
    noon = to_ms(at("12:00", 3, 3))

    _move(two, _given(FEN), _given(MARSH))

    assert _events(home, SecondDosesPassedOn) == [
        SecondDosesPassedOn(people=(MARSH, FEN), slots_ms=(noon, noon), to_site="oddmoor")
    ]
    assert _events(other, SecondDosesTakenOver) == [
        SecondDosesTakenOver(
            people=(MARSH, FEN),
            were=(MARSH, FEN),
            slots_ms=(noon, noon),
            first_on=("2026-02-03", "2026-02-03"),
            from_site="harrowmint",
        )
    ]


def test_the_name_goes_with_the_person_and_no_name_enters_a_record(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)

    _move(two, _given(MARSH))

    assert other.site.people.get(MARSH) == BRYONY
    assert "Bryony" not in repr([entry.event for entry in other.entries()])


@pytest.mark.parametrize(
    ("kept", "code"),
    [(BRYONY, MARSH), (Name("Olive Loom", "1960-01-01"), "P-000001"), (None, "P-000001")],
    ids=["the same person", "somebody else", "nobody knows"],
)
def test_a_code_stands_for_one_person_at_each_site(two, kept, code):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    card(other, "2026-02-03", MARSH)
    if kept is not None:
        other.site.people.put(MARSH, kept)

    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == code
    assert other.site.people.get(code) == BRYONY


@pytest.mark.parametrize("name", [BRYONY, None], ids=["with a name", "without a name"])
def test_a_new_code_is_none_that_a_name_is_kept_under(two, name):
    home, other = two
    card(other, "2026-02-02", MARSH)
    other.site.people.put("P-000001", Name("Hazel Somebody", "1970-01-01", "555-0199"))
    if name is not None:
        home.site.people.put(MARSH, name)

    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == "P-000002"
    assert other.site.people.get("P-000002") == name
    assert other.site.people.get("P-000001").called == "Hazel Somebody"


def test_a_new_code_that_another_desk_takes_just_now_is_left_to_them(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    card(other, "2026-02-02", MARSH)
    add_all = other.site.people.add_all

    def overtaken(names):
        other.site.people.names.setdefault("P-000001", Name("Hazel Somebody"))
        return add_all(names)

    other.site.people.add_all = overtaken
    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == "P-000002"
    assert _events(other, SecondDosesTakenOver)[0].people == ("P-000002",)
    assert other.site.people.get("P-000002") == BRYONY


@pytest.mark.parametrize("fact", ["standby", "desk"])
def test_a_code_that_only_a_list_knows_there_stands_for_somebody(two, fact):
    _, other = two
    event = {
        "standby": StandbyAdded(person=MARSH, travel_min=10),
        "desk": PersonArrived(person=MARSH),
    }[fact]
    _record(other, event)

    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == "P-000001"


def test_a_move_that_is_refused_keeps_no_name_at_the_other_site(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)

    with pytest.raises(RecordError, match="0 free places"):
        _move(two, _given(MARSH), places=_on(DAY_28, 0))

    assert other.site.people.get(MARSH) is None


def test_a_code_that_is_booked_there_in_the_same_minute_is_left_to_them(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    add_all = other.site.people.add_all

    def overtaken(names):
        _record(other, PersonBooked(person=MARSH, slot_ms=to_ms(at("09:40")), dose_number=1))
        return add_all(names)

    other.site.people.add_all = overtaken
    with pytest.raises(RecordError, match="stands for somebody else at oddmoor"):
        _move(two, _given(MARSH))


def _record(day, event):
    act(day.site, day.doing(), {"command": "x"}, lambda _view: Decision(event), kind=Kind.FACT)


def test_the_time_of_day_is_that_of_the_first_dose(two):
    home, other = two
    _record(home, PersonBooked(person=MARSH, slot_ms=to_ms(at("09:40")), dose_number=1))

    _move(two, _given(MARSH))

    assert other.one(PERSON, MARSH).bookings[-1].slot_ms == to_ms(at("09:40", 3, 3))


def test_a_plan_that_somebody_overtook_is_refused_at_both(two):
    _, other = two
    _move(two, _given(MARSH))

    with pytest.raises(RecordError, match="has a place by now"):
        _move(two, _given(MARSH, date(2026, 3, 4)), places=_on(date(2026, 3, 4), 2))

    assert len(_events(other, SecondDosesTakenOver)) == 1


def _on(day, places):
    return {"harrowmint": {day: 0}, "oddmoor": {day: places}}


def test_a_day_that_is_full_by_now_is_refused_and_nothing_is_passed_on(two):
    home, other = two

    with pytest.raises(RecordError, match="oddmoor has 1 free places on 2026-03-03, and 2"):
        _move(two, _given(MARSH), _given(FEN), places=_on(DAY_28, 1))

    assert _events(home, SecondDosesPassedOn) + _events(other, SecondDosesTakenOver) == []


def test_nobody_is_moved_to_a_day_before_day_28(two):
    early = date(2026, 3, 2)

    with pytest.raises(RecordError, match="due on or after 2026-03-03"):
        _move(two, _given(MARSH, early), places=_on(early, 2))


def test_who_stays_is_left_to_their_own_site(two):
    assert _move(two, _given(MARSH, site="harrowmint")) == ()


def test_on_a_dry_run_both_are_asked_and_nothing_is_recorded(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)

    (move,) = _move(two, _given(MARSH), dry_run=True)

    assert (move.passed_on.receipt, move.taken_over.receipt) == (None, None)
    assert other.site.people.get(MARSH) is None


def test_taken_over_and_not_yet_passed_on_is_left_out_of_the_next_plan(two):
    _, other = two
    _move(two, _given(MARSH))
    cut_off = a_day(vials=0)  # the same home, as if the second entry had never come
    cut_off.now = at("18:00")
    for person in (MARSH, FEN):
        card(cut_off, "2026-02-03", person)

    sites = [cut_off.site, other.site]
    found = share_between(sites, at("18:00"), PLACES, {("harrowmint", "oddmoor"): 1})

    assert [each.given.asked.person for each in found.shared.given] == [FEN]


def test_the_move_that_another_desk_gave_a_name_to_is_refused(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    people = other.site.people
    people.add_all = lambda names: {next(iter(names)): Name("Olive Loom")}

    with pytest.raises(RecordError, match="stands for somebody else"):
        _move(two, _given(MARSH))


ONCE = UUID("01936b1e-0000-7000-8000-000000000001")


def _undo(day, kind):
    (entry,) = [each for each in day.entries() if isinstance(each.event, kind)]
    undo(day.site, day.doing(by=ROWAN, why="snow"), str(entry.seq))


def test_a_move_that_was_undone_at_both_sites_can_be_recorded_again(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    _move(two, _given(MARSH))
    _undo(other, SecondDosesTakenOver)
    _undo(home, SecondDosesPassedOn)

    (move,) = _move(two, _given(MARSH))

    assert (move.people[0].there, move.taken_over.receipt.again) == (MARSH, False)
    assert len(other.one(PERSON, MARSH).bookings) == 1
    assert move.passed_on.receipt.again is False


def test_a_new_code_is_theirs_again_after_an_undone_move(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    card(other, "2026-02-02", MARSH)
    _move(two, _given(MARSH))
    _undo(other, SecondDosesTakenOver)
    _undo(home, SecondDosesPassedOn)

    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == "P-000001"


def test_who_came_from_there_before_keeps_the_code_they_got(two):
    home, other = two
    card(other, "2026-02-02", MARSH)
    (before,) = _move(two, _given(MARSH))
    home.now = other.now = at("12:00", 4, 3)  # they did not come

    (move,) = _move(two, _given(MARSH, date(2026, 3, 5)), places=_on(date(2026, 3, 5), 1))

    assert [before.people[0].there, move.people[0].there] == ["P-000001", "P-000001"]


def test_the_same_id_again_records_nothing_and_says_what_was_recorded(two):
    home, other = two
    (first,) = _move(two, _given(MARSH), id=ONCE)
    home.now = other.now = at("18:30")

    (again,) = _move(two, _given(FEN), id=ONCE)

    assert [each.person for each in again.people] == [MARSH]
    assert (again.taken_over.receipt.seq, again.passed_on.receipt.again) == (
        *(first.taken_over.receipt.seq, True),
    )
    assert len(_events(other, SecondDosesTakenOver)) == 1


def test_the_same_id_again_finishes_a_move_that_was_cut_off(two):
    home, _ = two
    record = home.site.ledger.record
    home.site.ledger.record = _cut_off
    with pytest.raises(IndeterminateError) as error:
        _move(two, _given(MARSH), id=ONCE)
    home.site.ledger.record = record

    (again,) = _move(two, id=ONCE)

    assert f"--id {ONCE}" in error.value.advice
    assert _events(home, SecondDosesPassedOn) == [
        SecondDosesPassedOn(
            people=(MARSH,), slots_ms=(to_ms(at("12:00", 3, 3)),), to_site="oddmoor"
        )
    ]
    assert again.passed_on.receipt.again is False


def _cut_off(*_asked):
    raise IndeterminateError("disk error", advice="repeat the command with --id OTHER")


def test_the_same_id_again_does_not_pass_on_who_was_sent_back(two):
    home, other = two
    _move(two, _given(MARSH), id=ONCE)
    _undo(other, SecondDosesTakenOver)

    with pytest.raises(RecordError, match="was undone at oddmoor"):
        _move(two, _given(MARSH), id=ONCE)

    assert len(_events(home, SecondDosesPassedOn)) == 1


def test_where_one_of_two_moves_is_refused_neither_is_recorded(three):
    with pytest.raises(RecordError, match="quillbeck has 0 free places"):
        _move(three, _given(MARSH), _given(FEN, site="quillbeck"), places=_full("quillbeck"))

    assert [e for day in three for e in _events(day, SecondDosesTakenOver)] == []


@pytest.fixture
def three(two):
    """The same, and Quillbeck, where everybody may come as well."""
    quillbeck = a_day(vials=0)
    quillbeck.site = replace(quillbeck.site, name="quillbeck", now=lambda: quillbeck.now)
    quillbeck.now = at("18:00")
    return (*two, quillbeck)


def _full(site):
    free = {"harrowmint": 0, "oddmoor": 2, "quillbeck": 2, site: 0}
    return {name: {DAY_28: places} for name, places in free.items()}


def test_an_error_in_mid_way_says_that_the_moves_before_it_are_recorded(three):
    *_, quillbeck = three
    quillbeck.site.ledger.record = _busy

    with pytest.raises(BusyError) as error:
        _move(three, _given(MARSH), _given(FEN, site="quillbeck"), places=_full("nowhere"))

    assert error.value.advice == "1 moves before it were recorded; plan the others anew"


def _busy(*_asked):
    raise BusyError("another program holds the ledger; nothing was recorded")


def test_whose_first_dose_was_undone_since_is_not_moved(two):
    home, _ = two
    first = next(e for e in home.entries() if getattr(e.event, "person", "") == MARSH)
    undo(home.site, home.doing(by=ROWAN, why="another person"), str(first.seq))

    with pytest.raises(RecordError, match="no first dose on record by now"):
        _move(two, _given(MARSH))


def _stricter():
    """Oddmoor under a version of its own: 35 days, where Harrowmint has 28."""
    longer = read_protocol(SMALL_TEXT.replace('"P28D"', '"P35D"').encode())
    other = a_day(longer, vials=0)
    other.site = replace(other.site, name="oddmoor", now=lambda: other.now)
    other.now = at("18:00")
    return other


def test_the_rule_of_the_site_that_takes_somebody_over_counts_too(two):
    home, other = two[0], _stricter()
    home.site.people.put(MARSH, BRYONY)

    with pytest.raises(RefusedError) as error:
        _move((home, other), _given(MARSH))

    assert codes(error.value.findings) == ["too-early"]
    assert "due on or after 2026-03-10" in error.value.findings[0].says  # 3 February + 35 days
    assert (other.site.people.get(MARSH), _events(home, SecondDosesPassedOn)) == (None, [])


def test_on_the_day_of_the_other_sites_rule_they_may_come(two):
    home, other = two[0], _stricter()
    day_35 = date(2026, 3, 10)

    (move,) = _move((home, other), _given(MARSH, day_35), places=_on(day_35, 1))

    assert move.passed_on.receipt is not None


@pytest.mark.parametrize(("earliest", "moved"), [("P28D", 2), ("P29D", 0)])
def test_who_would_have_to_wait_longer_by_the_other_sites_rule_is_not_planned_there(
    two, earliest, moved
):
    home = two[0]
    other = a_day(
        read_protocol(SMALL_TEXT.replace('"P28D"', f'"{earliest}"').encode()), vials=0
    )
    other.site = replace(other.site, name="oddmoor", now=lambda: other.now)

    sites = [home.site, other.site]
    found = share_between(sites, at("18:00"), PLACES, {("harrowmint", "oddmoor"): 1})

    assert sum(each.home != each.site for each in found.shared.given) == moved


def test_who_had_both_doses_by_the_other_sites_record_is_not_taken_over(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    other.site.people.put(MARSH, BRYONY)
    other.now = at("18:00", 4, 3)
    home.now = other.now
    for given_on in ("2026-02-03", "2026-03-03"):
        card(other, given_on, MARSH)

    with pytest.raises(RefusedError, match="Both doses are on record"):
        _move(two, _given(MARSH, date(2026, 3, 5)), places=_on(date(2026, 3, 5), 1))


def test_the_first_dose_that_both_sites_know_counts_once(two):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    other.site.people.put(MARSH, BRYONY)
    card(other, "2026-02-03", MARSH)

    (move,) = _move(two, _given(MARSH))

    assert move.people[0].there == MARSH
