"""Putting people on the standby list, whom to call, the answer. Invented; vials of eight."""

import pytest
from tests.app.chairs import FEN, MARSH, book
from tests.cast import HAZEL, a_day, at

from thawline.app.doses import give
from thawline.app.in_hand import Needle
from thawline.app.ports import Name
from thawline.app.standby import Told, add, answered, next_calls
from thawline.app.vials import draw
from thawline.base.errors import NotFoundError, RecordError
from thawline.ledger.standby_events import StandbyAdded
from thawline.person.standby import STANDBY, Answered

ANN, BEN = "DEMO-000101", "DEMO-000102"


def put(day, person, travel=10, clock="08:00", **more):
    told = Told(travel, name=Name(f"{person} Testwick", phone="555-0101"), **more)
    return add(day.site, day.doing(clock, by=HAZEL), person, told)


def calls(found):
    return [each.waiting.person for each in found.calls]


def test_the_ledger_has_the_code_and_the_name_is_kept_apart():
    day = a_day()

    outcome = put(day, ANN)

    assert outcome.event == StandbyAdded(person=ANN, travel_min=10)
    assert day.site.people.get(ANN).phone == "555-0101"


def test_a_stranger_without_a_name_is_asked_for_one():
    day = a_day()

    with pytest.raises(NotFoundError) as error:
        add(day.site, day.doing("08:00"), ANN, Told(10))

    assert "--name" in error.value.advice


def test_somebody_booked_here_needs_no_name():
    day = a_day()
    book(day, MARSH)

    assert add(day.site, day.doing("08:00"), MARSH, Told(10)).receipt is not None


def test_a_code_never_stands_for_two_people():
    day = a_day()
    put(day, ANN)

    with pytest.raises(RecordError, match="somebody else"):
        add(day.site, day.doing("08:00"), ANN, Told(10, name=Name("Cat Elm")))


@pytest.mark.parametrize(
    "name",
    [Name(f"{ANN} Testwick"), Name(f"Testwick, {ANN}", phone="5550101")],
    ids=["the name alone", "written in another way"],
)
def test_the_same_person_again_is_kept_as_they_were(name):
    day = a_day()
    put(day, ANN)
    kept = day.site.people.get(ANN)

    add(day.site, day.doing("08:05"), ANN, Told(5, name=name))

    assert day.site.people.get(ANN) == kept
    assert day.one(STANDBY, ANN).travel_min == 5


@pytest.mark.parametrize(
    ("name", "says", "option"),
    [
        (Name(f"{ANN} Testwick", phone="555-0199"), "another phone number is kept", "--phone"),
        (Name(f"{ANN} Testwick", "1951-01-20"), "another birth date is kept", "--born"),
    ],
    ids=["another number", "a birth date where none is kept"],
)
@pytest.mark.parametrize("dry_run", [True, False])
def test_what_is_kept_of_somebody_is_changed_by_amending_alone(name, says, option, dry_run):
    day = a_day()
    put(day, ANN)
    kept, entries = day.site.people.get(ANN), len(day.entries())

    with pytest.raises(RecordError, match=says) as error:
        add(day.site, day.doing("08:05", dry_run=dry_run), ANN, Told(5, name=name))

    assert f"thawline person amend {ANN} {option}" in error.value.advice
    assert (day.site.people.get(ANN), len(day.entries())) == (kept, entries)


def test_of_somebody_who_may_not_be_on_the_list_no_name_is_kept():
    day = a_day()
    book(day, MARSH)
    (syringe,) = draw(day.site, day.doing("07:10"), day.opened(), 1).event.syringes
    give(day.site, day.doing("09:00"), Needle(MARSH, syringe=syringe))

    with pytest.raises(RecordError, match="had a dose here"):
        add(day.site, day.doing("09:05"), MARSH, Told(10, name=Name("Bryony Testwick")))

    assert day.site.people.get(MARSH) is None


def test_who_was_met_and_is_put_on_the_list_keeps_their_birth_date():
    day = a_day()
    book(day, MARSH)
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-01-20", "555-0142"))

    add(day.site, day.doing("08:55"), MARSH, Told(10, name=Name("Bryony Testwick")))

    assert day.site.people.get(MARSH).born == "1951-01-20"


def test_on_a_dry_run_no_name_is_kept():
    day = a_day()

    doing = day.doing("08:00", dry_run=True)
    add(day.site, doing, ANN, Told(10, name=Name("Ann Testwick")))

    assert day.site.people.get(ANN) is None


@pytest.mark.parametrize("told", [Told(-1), Told(1441), Told(10, priority=0)])
def test_a_way_or_a_priority_that_is_none_is_refused(told):
    day = a_day()

    with pytest.raises(RecordError):
        add(day.site, day.doing("08:00"), ANN, told)


def test_somebody_who_had_a_dose_here_is_not_put_on_the_list():
    day = a_day()
    book(day, MARSH)
    vial = day.opened()
    (code,) = draw(day.site, day.doing("07:10"), vial, 1).event.syringes
    needle = Needle(MARSH, syringe=code, screened_by="Sorrel", screening="give-15", arm="left")
    give(day.site, day.doing("07:20", happened=True), needle)

    with pytest.raises(RecordError, match="had a dose"):
        add(day.site, day.doing("08:00"), MARSH, Told(10))


def test_calls_go_to_as_many_as_there_are_doses_that_nobody_booked_needs():
    # Eight doses a vial, one booked at 09:00: seven to spare, two on the list.
    day = a_day()
    book(day, FEN)
    day.opened()
    put(day, ANN)
    put(day, BEN, clock="08:01")

    found = next_calls(day.site, at("08:10"), None)

    assert (found.spare, calls(found), found.use_by) == (7, [ANN, BEN], at("12:00"))


def test_a_dose_is_kept_for_somebody_who_is_a_little_late():
    # Booked at 09:00: until 09:15 one of the eight doses is theirs.
    day = a_day()
    book(day, FEN)
    day.opened()

    late, too_late = (next_calls(day.site, at(clock), None) for clock in ("09:14", "09:15"))

    assert (late.spare, too_late.spare) == (7, 8)


def test_no_dose_to_spare_means_nobody_is_called():
    day = a_day()
    put(day, ANN)

    found = next_calls(day.site, at("08:10"), None)

    assert (found.doses, calls(found), found.use_by) == (0, [], None)


def test_who_cannot_be_here_before_the_use_by_is_passed_over():
    day = a_day()
    day.opened()
    put(day, ANN, travel=60)
    put(day, BEN, travel=5, clock="08:01")

    found = next_calls(day.site, at("11:00"), 1)

    assert (calls(found), found.too_far, found.calls[0].place) == ([BEN], 1, 2)


def test_who_cannot_be_here_before_the_close_is_passed_over():
    # The last place of the day, 09:00, is over at 09:10.
    day = a_day()
    book(day, FEN)
    day.opened()
    put(day, ANN, travel=30)

    assert calls(next_calls(day.site, at("08:50"), 1)) == []


def test_nobody_is_called_twice_for_one_dose():
    day = a_day()
    put(day, ANN)
    answered(day.site, day.doing("08:10"), ANN, Answered.NO_ANSWER)

    with pytest.raises(RecordError, match="was called today"):
        answered(day.site, day.doing("08:20"), ANN, Answered.COMES)
    assert calls(next_calls(day.site, at("08:30"), 1)) == []


def test_who_is_on_the_way_has_a_dose_kept():
    day = a_day()
    day.opened()
    put(day, ANN)
    answered(day.site, day.doing("08:10"), ANN, Answered.COMES)

    found = next_calls(day.site, at("08:11"), None)

    assert (found.spare, found.on_the_way) == (7, 1)


def test_an_answer_of_somebody_who_is_not_on_the_list_is_refused():
    day = a_day()

    with pytest.raises(NotFoundError, match="not on the standby list"):
        answered(day.site, day.doing("08:10"), ANN, Answered.NO)


def test_fewer_than_no_doses_are_refused():
    with pytest.raises(RecordError):
        next_calls(a_day().site, at("08:10"), -1)


def test_asked_about_earlier_what_was_recorded_later_is_left_out():
    day = a_day()
    put(day, ANN)
    answered(day.site, day.doing("08:10"), ANN, Answered.NO)

    assert calls(next_calls(day.site, at("08:05"), 1)) == [ANN]
