"""
Who has a place for the second dose at another site is nowhere given a second one. Invented.

Harrowmint and Oddmoor on Tuesday 3 February 2026; a first dose of that day, day 28 is 3 March.
"""

from dataclasses import replace
from datetime import date, time

import pytest
from tests.app.chairs import FEN, MARSH, card
from tests.cast import ROWAN, a_day, at, codes

from thawline.app import second_moves
from thawline.app.acts import act
from thawline.app.bookings import load_bookings
from thawline.app.call_sheet import Said, call_sheet, called
from thawline.app.elsewhere import PlacedThere, not_told, placed_there
from thawline.app.ports import Name
from thawline.app.second import due_on
from thawline.app.second_between import share_between
from thawline.app.second_moves import record_moves
from thawline.app.second_places import assign
from thawline.app.walk_ups import WalkUp, take_in
from thawline.base.errors import RecordError, RefusedError
from thawline.base.instants import to_ms
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser
from thawline.exchange.tables import text_table
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseGiven, PersonBooked
from thawline.person.fold import PERSON
from thawline.person.follow_up import About, Result
from thawline.person.likeness import Identity
from thawline.plan.second_between import GivenAt
from thawline.plan.second_places import Asked, Given

DAY_28, NOON = date(2026, 3, 3), time(12)
BRYONY = Name("Bryony Testwick", "1951-01-20", "555-0142")


@pytest.fixture
def two():
    """Harrowmint, where two people had a first dose, and Oddmoor with room."""
    home, other = a_day(vials=0), a_day(vials=0)
    other.site = replace(other.site, name="oddmoor", now=lambda: other.now)
    home.now = other.now = at("18:00")
    for person in (MARSH, FEN):
        card(home, "2026-02-03", person)
    return home, other


def _move(two, person=MARSH, day=DAY_28):
    sites = {each.site.name: each.site for each in two}
    doing = {each.site.name: each.doing(by=ROWAN) for each in two}
    given = GivenAt(Given(Asked(person, day, day), day), "harrowmint", "oddmoor")
    places = {"harrowmint": {day: 0}, "oddmoor": {day: 9}}
    return record_moves(sites, doing, [given], places, NOON)


def _cut_off(two, monkeypatch):
    """Move somebody with the power failing after the other site has taken them over."""

    def fail(_home, doing, *_):
        if not doing.dry_run:
            raise SystemExit("power")

    with monkeypatch.context() as patched:
        patched.setattr(second_moves, "_pass_on", fail)
        with pytest.raises(SystemExit):
            _move(two)


def _record(day, event):
    act(day.site, day.doing(), {"command": "x"}, lambda _v: Decision(event), kind=Kind.FACT)


def _place(day, when, person=MARSH, dose_number=2):
    _record(day, PersonBooked(person=person, slot_ms=to_ms(when), dose_number=dose_number))


def _second_places(day, person=MARSH):
    state = day.one(PERSON, person)
    return [] if state is None else [b.slot_ms for b in state.bookings if b.dose_number == 2]


@pytest.fixture
def late(two):
    """Somebody whose last day was 31 January, passed on to Oddmoor for 20 February."""
    home, _ = two
    card(home, "2025-12-20", "DEMO-000009")  # and 42 days is 31 January (calendar)
    _move(two, "DEMO-000009", date(2026, 2, 20))
    home.now = at("12:00", 5)
    return home


def test_who_is_late_and_has_a_place_elsewhere_is_not_called(late):
    found = call_sheet(late.site, date(2026, 2, 5), late.now)

    assert found == []
    assert due_on(late.site, date(2026, 2, 5))[1].due[0].booked == date(2026, 2, 20)


def test_after_that_day_they_are_called_again_as_nobody_here_knows_of_the_dose(late):
    found = call_sheet(late.site, date(2026, 2, 21), at("12:00", 21))

    assert [(each.about, each.person) for each in found] == [(About.LATE, "DEMO-000009")]


def test_on_the_phone_they_get_no_second_place(late):
    said = Said(About.LATE, date(2026, 1, 31), Result.REBOOKED, at("10:00", 9))

    with pytest.raises(RefusedError) as error:
        called(late.site, late.doing(), "DEMO-000009", said)

    assert "has a place for dose 2 at oddmoor" in error.value.findings[0].says
    assert _second_places(late, "DEMO-000009") == []


@pytest.mark.parametrize("dry_run", [True, False])
def test_from_a_file_they_get_no_second_place(late, dry_run):
    text = b"person,date,time,dose\nDEMO-000009,2026-02-10,09:00,2"
    read = read_bookings(text_table(text, recogniser({})), late.site.zone, Choices())

    loaded = load_bookings(late.site, late.doing(by=ROWAN, dry_run=dry_run), read)

    assert [row.reason.partition(":")[0] for row in loaded.bad] == [
        "has a place for dose 2 at oddmoor already"
    ]


def test_at_the_desk_their_place_elsewhere_is_named(late):
    late.site.people.put("DEMO-000009", BRYONY)
    said = Identity("Bryony Testwick", date(1951, 1, 20))

    found = take_in(late.site, late.doing(by=ROWAN), WalkUp(said, code="DEMO-000009"))

    assert codes(found.outcome.findings) == ["later-place"]
    assert "2026-02-20 at oddmoor" in found.outcome.findings[0].says


def test_cut_off_before_home_was_told_they_get_no_second_place_at_home(two, monkeypatch):
    home, other = two
    _cut_off(two, monkeypatch)
    placed = placed_there([home.site, other.site], home.now)
    there = not_told(home.site, placed, home.now)

    people = frozenset(each.person for each in there)
    assign(home.site, home.doing(by=ROWAN), {DAY_28: 5}, NOON, people)

    assert there == (PlacedThere("harrowmint", MARSH, "oddmoor", DAY_28),)
    assert (_second_places(home), len(_second_places(home, FEN))) == ([], 1)


def test_the_next_plan_leaves_them_out_and_says_so(two, monkeypatch):
    home, other = two
    _cut_off(two, monkeypatch)
    places = {"harrowmint": {DAY_28: 0}, "oddmoor": {DAY_28: 9}}

    found = share_between([home.site, other.site], home.now, places, {})

    assert [each.asked.person for each in found.shared.without] == [FEN]
    assert [each.person for each in found.there] == [MARSH]


def test_who_was_passed_on_in_full_is_no_news_to_their_site(two):
    home, other = two
    _move(two)

    placed = placed_there([home.site, other.site], home.now)

    assert [each.person for each in placed] == [MARSH]
    assert not_told(home.site, placed, home.now) == ()


@pytest.mark.parametrize(
    ("kept", "when", "people"),
    [
        (BRYONY, at("10:00", 4, 3), [MARSH]),
        (replace(BRYONY, born="1951-02-20"), at("10:00", 4, 3), []),
        (None, at("10:00", 4, 3), []),
        (BRYONY, at("17:59"), []),
    ],
    ids=["the same person", "another of that name", "nobody knows who", "a place that is past"],
)
def test_a_place_they_have_there_by_themselves_is_seen_if_it_is_the_same_person(
    two, kept, when, people
):
    home, other = two
    home.site.people.put(MARSH, BRYONY)
    if kept is not None:
        other.site.people.put(MARSH, kept)
    _place(other, when)

    placed = placed_there([home.site, other.site], home.now)

    assert [each.person for each in not_told(home.site, placed, home.now)] == people


def test_nobody_is_taken_over_who_has_a_place_there_already(two):
    home, other = two
    for each in two:
        each.site.people.put(MARSH, BRYONY)
    _place(other, at("10:00", 4, 3))

    with pytest.raises(RecordError, match="has a place for the second dose at oddmoor already"):
        _move(two)

    assert len(_second_places(other)) == 1
    assert home.entries()[-1].event.person == FEN  # nothing was recorded at home


def test_nobody_is_taken_over_who_had_the_second_dose_there(two):
    for each in two:
        each.site.people.put(MARSH, BRYONY)
    _record(two[1], DoseGiven(person=MARSH, dose_number=2, lot="ZZ-1041", syringe=None))

    with pytest.raises(RecordError, match="had a second dose at oddmoor"):
        _move(two)
