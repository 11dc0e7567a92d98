"""
Loading bookings into a site: nothing twice, nobody merged, nobody early.

The people are invented; the site is that of the cast, on Tuesday 3 February 2026. Day 28
after a first dose is counted on the calendar: 2 February and 28 days is 2 March.
"""

from dataclasses import replace
from datetime import date

import pytest
from tests.cast import ROWAN, a_day, at

from thawline.app.acts import act
from thawline.app.bookings import list_bookings, load_bookings
from thawline.app.doses import told
from thawline.app.ports import Name
from thawline.base.errors import BusyError, RecordError
from thawline.base.instants import exactly
from thawline.exchange.bookings import Choices, read_bookings
from thawline.exchange.columns import recogniser
from thawline.exchange.tables import text_table
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import Corrected, DoseGiven, EarlierDoseTold, PersonBooked
from thawline.ledger.standby_events import StandbyAdded
from thawline.person.fold import PERSON

HEADER = "name,born,phone,date,time,dose"
ANN = "Ann Lee,1980-03-02,555 0101,2026-02-04,09:30,1"
BEN = "Ben Oak,1970-12-25,555 0102,2026-02-04,09:40,1"
NAMED_ANN = Name("Ann Lee", "1980-03-02", "555 0101")


def _load(day, *rows, header=HEADER, **more):
    text = "\n".join([header, *rows])
    read = read_bookings(text_table(text.encode(), recogniser({})), day.site.zone, Choices())
    return load_bookings(day.site, day.doing(by=ROWAN, **more), read)


def _booked(day):
    return [entry for entry in day.entries() if isinstance(entry.event, PersonBooked)]


def _reasons(loaded):
    return {bad.line: bad.reason for bad in loaded.bad}


@pytest.fixture
def day():
    return a_day(vials=0)


def _record(day, command, event, kind, occurred=None):
    doing = day.doing() if occurred is None else day.doing(occurred=exactly(occurred))
    act(day.site, doing, {"command": command}, lambda _: Decision(event), kind=kind)


def _given(day, person, on, number=1):
    event = DoseGiven(person=person, dose_number=number, lot="ZZ-1041")
    _record(day, "dose give", event, Kind.FACT, at("10:00", on.day, on.month))


def _undo(day, entry):
    event = Corrected(target=str(entry.id), why="typed twice", undo=True)
    _record(day, "journal undo", event, Kind.CORRECTION)


def test_every_row_becomes_one_booking_with_a_code_and_a_name(day):
    loaded = _load(day, ANN, BEN)

    assert (loaded.booked, loaded.already, loaded.new_people) == (2, 0, 2)
    assert [entry.event.person for entry in _booked(day)] == ["P-000001", "P-000002"]
    assert day.site.people.get("P-000002").called == "Ben Oak"
    assert [entry.by for entry in _booked(day)] == [ROWAN, ROWAN]


def test_nothing_that_names_a_person_enters_the_ledger(day):
    _load(day, ANN)

    written = repr([entry.event for entry in _booked(day)])
    assert not [word for word in ("Ann", "Lee", "1980", "0101") if word in written]


def test_the_same_file_twice_changes_nothing(day):
    _load(day, ANN, BEN)
    before = day.entries()

    again = _load(day, ANN, BEN, clock="09:00")

    assert (again.booked, again.already, again.new_people) == (0, 2, 0)
    assert day.entries() == before


class Beaten:
    """People of a site where others load their file between our look and our writing."""

    def __init__(self, people, others):
        self._people, self._others = people, others

    def __getattr__(self, name):
        return getattr(self._people, name)

    def add_all(self, names):
        """Let another load come first, where one is waiting."""
        if self._others:
            self._others.pop()()
        return self._people.add_all(names)


def _beaten_by(day, *loads):
    """Let other loads come first, each when ours is about to keep its names."""
    mine = day.site
    people = Beaten(mine.people, list(loads))
    day.site = replace(mine, people=people)


def _names_kept(day):
    return {
        entry.event.person: day.site.people.get(entry.event.person).called
        for entry in _booked(day)
    }


def test_two_files_loaded_at_the_same_moment_never_share_a_code(day):
    _beaten_by(day, lambda: _load(day, BEN))

    loaded = _load(day, ANN)

    assert (loaded.booked, loaded.new_people, loaded.bad) == (1, 1, ())
    assert _names_kept(day) == {"P-000001": "Ben Oak", "P-000002": "Ann Lee"}


def test_nor_do_three(day):
    third = "Cleo Sedge,1990-01-01,555 0103,2026-02-04,09:50,1"
    _beaten_by(day, lambda: _load(day, BEN), lambda: _load(day, third))

    _load(day, ANN)

    assert len(_names_kept(day)) == 3


def test_names_kept_by_a_load_that_was_cut_off_are_taken_up_by_its_repeat(day):
    """The names are on disk, the bookings are not; nobody gets a second code."""
    day.site.people.add_all({"P-000001": NAMED_ANN})

    loaded = _load(day, ANN, BEN)

    assert (loaded.booked, loaded.new_people) == (2, 1)
    assert _names_kept(day) == {"P-000001": "Ann Lee", "P-000002": "Ben Oak"}


def test_somebody_whose_name_alone_is_kept_is_shown_and_never_merged(day):
    day.site.people.add_all({"P-000001": Name("Ann Lee")})

    loaded = _load(day, "Ann Lee,,,2026-02-04,09:30,1")

    assert [entry.event.person for entry in _booked(day)] == ["P-000002"]
    assert "may be P-000001" in loaded.remarks[0].says


def test_a_code_in_a_file_that_another_load_gave_to_somebody_else_is_refused(day):
    header = f"id,{HEADER}"
    _beaten_by(day, lambda: _load(day, f"DEMO-000017,{BEN}", header=header))

    loaded = _load(day, f"DEMO-000017,{ANN}", header=header)

    assert _reasons(loaded) == {2: "DEMO-000017 stands for another name here"}
    assert _names_kept(day) == {"DEMO-000017": "Ben Oak"}


def test_nor_is_a_code_of_which_only_the_name_is_kept_yet(day):
    day.site.people.add_all({"DEMO-000017": Name("Ben Oak")})

    loaded = _load(day, f"DEMO-000017,{ANN}", header=f"id,{HEADER}")

    assert _reasons(loaded) == {2: "DEMO-000017 stands for another name here"}
    assert day.site.people.get("DEMO-000017").called == "Ben Oak"


def test_the_same_bookings_in_another_layout_change_nothing(day):
    _load(day, ANN)

    again = _load(
        day,
        '"Lee, Ann",(555) 01-01,2 Mar 1980,4 Feb 2026 9:30 am,first',
        header="patient,phone,dob,slot,dose",
    )

    assert (again.booked, again.already) == (0, 1)


@pytest.mark.parametrize(
    "row", ["Ann Lee,,,2026-02-04,09:30,1", "Ann Lee,1980-03-02,,2026-02-04,09:30,1"]
)
def test_too_little_told_to_be_sure_still_changes_nothing_the_second_time(day, row):
    _load(day, row)

    again = _load(day, row)

    assert (again.booked, again.already) == (0, 1)


def test_a_load_that_was_cut_off_is_finished_by_repeating_it(day):
    record, count = day.site.ledger.record, 0

    def fails_at_the_second(act, decide):
        nonlocal count
        count += 1
        if count == 2:
            raise BusyError("another program holds the ledger")
        return record(act, decide)

    day.site.ledger.record = fails_at_the_second
    with pytest.raises(BusyError):
        _load(day, ANN, BEN)
    day.site.ledger.record = record

    again = _load(day, ANN, BEN)

    assert (again.booked, again.already) == (1, 1)
    assert [entry.event.person for entry in _booked(day)] == ["P-000001", "P-000002"]


def test_a_booking_that_was_undone_can_be_made_again(day):
    _load(day, ANN)
    _undo(day, _booked(day)[0])

    again = _load(day, ANN)
    _undo(day, _booked(day)[1])
    once_more = _load(day, ANN)

    assert (again.booked, again.already) == (1, 0)
    assert (once_more.booked, once_more.already) == (1, 0)


def test_a_dry_run_says_the_same_and_leaves_nothing(day):
    before = day.entries()

    loaded = _load(day, ANN, BEN, dry_run=True)

    assert (loaded.booked, loaded.recorded) == (2, False)
    assert day.entries() == before
    assert day.site.people.get("P-000001") is None


def test_somebody_must_be_named_for_it(day):
    read = read_bookings(
        text_table(f"{HEADER}\n{ANN}".encode(), recogniser({})), day.site.zone, Choices()
    )

    with pytest.raises(RecordError, match="nobody is named"):
        load_bookings(day.site, day.doing(by=" "), read)


# --- who is who ----------------------------------------------------------------------------


def test_two_people_of_one_name_and_birth_date_are_shown_and_not_merged(day):
    loaded = _load(day, ANN, "Ann Lee,1980-03-02,555 0199,2026-02-04,10:00,1")

    assert loaded.booked == 2
    assert [(remark.line, remark.says) for remark in loaded.remarks] == [
        (3, "may be P-000001 (same name and birth date): not merged, look at both")
    ]


def test_a_birth_date_with_day_and_month_swapped_is_shown(day):
    loaded = _load(day, ANN, "Ann Lee,1980-02-03,,2026-02-04,10:00,1")

    assert loaded.booked == 2
    assert "day and month of the birth date swapped" in loaded.remarks[0].says


def test_name_birth_date_and_phone_together_are_one_person(day):
    loaded = _load(day, ANN, "Ann Lee,1980-03-02,555-0101,2026-03-05,09:30,2")

    assert loaded.new_people == 1
    assert {entry.event.person for entry in _booked(day)} == {"P-000001"}


def test_a_second_dose_for_somebody_merely_alike_is_not_booked(day):
    _load(day, "Ann Lee,1980-03-02,,2026-02-04,09:30,1")

    loaded = _load(day, "Ann Lee,1980-03-02,,2026-03-05,09:30,2")

    assert loaded.booked == 0
    assert _reasons(loaded) == {
        2: "may be P-000001 (same in everything told): give their code in an id column"
    }


def test_two_people_equal_in_name_birth_date_and_phone_need_a_code(day):
    _load(day, f"DEMO-000001,{ANN}", header=f"id,{HEADER}")
    _load(day, f"DEMO-000002,{ANN}".replace("09:30", "09:50"), header=f"id,{HEADER}")

    loaded = _load(day, ANN.replace("09:30", "11:00"))

    assert "DEMO-000001" in _reasons(loaded)[2]
    assert "DEMO-000002" in _reasons(loaded)[2]


def test_codes_of_the_file_are_kept(day):
    loaded = _load(day, f"DEMO-000017,{ANN}", header=f"id,{HEADER}")

    assert loaded.booked == 1
    assert day.one(PERSON, "DEMO-000017").bookings[0].dose_number == 1
    assert day.site.people.get("DEMO-000017").called == "Ann Lee"


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("DEMO-000017,Ben Oak,1980-03-02", "DEMO-000017 stands for another name here"),
        ("DEMO-000017,Ann Lee,1980-03-03", "DEMO-000017 stands for another birth date here"),
        ("P-000099,Cat Elm,1980-03-02", "no person P-000099 here"),
    ],
)
def test_a_code_that_stands_for_somebody_else_is_not_booked(day, row, reason):
    _load(day, f"DEMO-000017,{ANN}", header=f"id,{HEADER}")

    loaded = _load(day, f"{row},,2026-02-05,09:30,1", header=f"id,{HEADER}")

    assert _reasons(loaded) == {2: reason}


def test_a_swapped_birth_date_of_a_known_code_is_shown_and_booked(day):
    _load(day, f"DEMO-000017,{ANN}", header=f"id,{HEADER}")

    loaded = _load(
        day, "DEMO-000017,Ann Lee,1980-02-03,,2026-03-05,09:30,2", header=f"id,{HEADER}"
    )

    assert loaded.booked == 1
    assert "swapped against DEMO-000017" in loaded.remarks[0].says


def test_a_code_without_a_name_is_enough(day):
    loaded = _load(day, "DEMO-000001,2026-02-04 09:30,1", header="id,slot,dose")

    assert (loaded.booked, loaded.new_people) == (1, 0)


def test_new_codes_go_on_after_the_highest(day):
    _load(day, ANN)
    told(day.site, day.doing(), EarlierDoseTold(person="P-000041", given_on="2026-01-02"))

    _load(day, BEN)

    assert [entry.event.person for entry in _booked(day)] == ["P-000001", "P-000042"]


# --- which place ---------------------------------------------------------------------------


def test_a_second_place_for_the_same_dose_is_listed_with_the_first(day):
    _load(day, ANN)

    loaded = _load(day, ANN.replace("09:30", "11:00"))

    assert _reasons(loaded) == {2: "has a place for dose 1 already: 2026-02-04T09:30:00-06:00"}


def test_somebody_who_missed_their_place_may_have_another(day):
    _load(day, ANN)
    day.now = at("12:00", 4)

    assert _load(day, ANN.replace("09:30", "14:00")).booked == 1


def test_another_language_for_a_place_that_is_there_is_said_and_not_changed(day):
    _load(day, f"{ANN},en", header=f"{HEADER},language")

    again = _load(day, f"{ANN},es", header=f"{HEADER},language")

    assert (again.booked, again.already) == (0, 1)
    assert "not changed" in again.remarks[0].says


@pytest.mark.parametrize(
    ("slot", "booked"),
    [("2026-03-01", 0), ("2026-03-02", 1), ("2026-04-20", 1)],
    ids=["day 27", "day 28", "late"],
)
def test_nobody_is_booked_before_day_28_of_their_first_dose(day, slot, booked):
    _load(day, f"DEMO-000001,{ANN}", header=f"id,{HEADER}")
    _given(day, "DEMO-000001", date(2026, 2, 2))

    loaded = _load(day, f"DEMO-000001,{slot} 09:30,2", header="id,slot,dose")

    assert loaded.booked == booked
    assert [bad.reason for bad in loaded.bad] == [
        "No place on 2026-03-01: the second dose is due on or after 2026-03-02. "
        "Book a place from that day on. First dose 2026-02-02, item B1."
    ][: 1 - booked]


@pytest.mark.parametrize(("slot", "booked"), [("2026-02-08", 0), ("2026-02-09", 1)])
def test_a_first_dose_elsewhere_counts_for_day_28_too(day, slot, booked):
    told(day.site, day.doing(), EarlierDoseTold(person="DEMO-000001", given_on="2026-01-12"))

    assert _load(day, f"DEMO-000001,{slot} 09:30,2", header="id,slot,dose").booked == booked


@pytest.mark.parametrize(("slot", "booked"), [("2026-03-03", 0), ("2026-03-04", 1)])
def test_a_first_dose_that_is_only_booked_counts_for_day_28_too(day, slot, booked):
    loaded = _load(day, ANN, f"Ann Lee,1980-03-02,555 0101,{slot},09:30,2")

    assert loaded.booked == 1 + booked


def test_a_second_dose_without_any_first_is_booked_and_said(day):
    loaded = _load(day, "Ann Lee,1980-03-02,555 0101,2026-03-05,09:30,2")

    assert loaded.booked == 1
    assert "no first dose is known here" in loaded.remarks[0].says


def test_nobody_is_booked_after_both_doses(day):
    _load(day, f"DEMO-000001,{ANN}", header=f"id,{HEADER}")
    _given(day, "DEMO-000001", date(2026, 1, 2))
    _given(day, "DEMO-000001", date(2026, 2, 2), number=2)

    loaded = _load(day, "DEMO-000001,2026-03-05 09:30,2", header="id,slot,dose")

    assert _reasons(loaded) == {2: "dose 2 was given on 2026-02-02"}


def test_without_a_dose_column_the_record_says_which_dose_it_is(day):
    header = "id,slot"
    _given(day, "DEMO-000002", date(2026, 1, 2))

    loaded = _load(
        day, "DEMO-000001,2026-02-04 09:30", "DEMO-000002,2026-02-04 09:40", header=header
    )

    assert loaded.booked == 2
    assert [entry.event.dose_number for entry in _booked(day)] == [1, 2]


def test_a_place_taken_by_somebody_faster_is_listed_and_not_refused_for_ever(day):
    record = day.site.ledger.record

    def somebody_is_faster(act, decide):
        day.site.ledger.record = record
        _load(day, f"DEMO-000001,{ANN}", header=f"id,{HEADER}")
        return record(act, decide)

    day.site.ledger.record = somebody_is_faster
    loaded = _load(day, f"DEMO-000001,{ANN}".replace("09:30", "11:00"), header=f"id,{HEADER}")

    assert loaded.booked == 0
    assert "just now by somebody else" in _reasons(loaded)[2]


# --- the list ------------------------------------------------------------------------------


def test_the_list_of_a_day_goes_by_time_and_says_who_had_their_dose(day):
    _load(day, BEN.replace("02-04", "02-03"), ANN.replace("02-04", "02-03"))
    _load(day, "Cat Elm,,,2026-02-04,08:00,1")
    _given(day, "P-000001", date(2026, 2, 3))

    found = list_bookings(day.site, date(2026, 2, 3))

    assert [(each.name, each.had_dose) for each in found] == [
        ("Ann Lee", False),
        ("Ben Oak", True),
    ]
    assert len(list_bookings(day.site)) == 3


def test_an_erased_name_is_not_known_and_the_place_stays(day):
    _load(day, ANN)
    day.site.people.erase("P-000001")

    assert [each.name for each in list_bookings(day.site)] == [None]


def test_a_second_dose_of_a_name_spelled_otherwise_is_not_booked_for_a_new_person(day):
    _load(day, "Anne-Marie Fox,1980-03-02,555 0101,2026-02-04,09:30,1")

    loaded = _load(day, "Annemarie Fox,1980-03-02,555 0101,2026-03-09,09:30,2")

    assert "may be P-000001 (a name spelled otherwise" in _reasons(loaded)[2]
    assert len(_booked(day)) == 1


def test_a_first_dose_of_a_name_spelled_otherwise_is_booked_and_both_are_shown(day):
    _load(day, "Anne-Marie Fox,1980-03-02,555 0101,2026-02-04,09:30,1")

    loaded = _load(day, "Annemarie Fox,1980-03-02,555 0101,2026-02-05,09:30,1")

    assert loaded.booked == 1
    assert any("may be P-000001" in remark.says for remark in loaded.remarks)


def test_a_code_with_its_name_spelled_otherwise_is_booked_and_remarked_upon(day):
    _load(day, "Anne-Marie Fox,1980-03-02,555 0101,2026-02-04,09:30,1")

    header = f"id,{HEADER}"
    row = "P-000001,Annemarie Fox,1980-03-02,555 0101,2026-03-09,09:30,2"
    loaded = _load(day, row, header=header)

    assert loaded.booked == 1
    assert any("spelled otherwise than that of P-000001" in e.says for e in loaded.remarks)


def test_a_code_that_only_the_standby_list_knows_is_not_given_to_a_row(day):
    _record(day, "standby", StandbyAdded(person="P-000001", travel_min=10), Kind.FACT)

    _load(day, ANN)

    assert _booked(day)[0].event.person == "P-000002"
