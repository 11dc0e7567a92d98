"""People with no dose recorded, doses told from a card, finding people, and corrections."""

import pytest
from tests.app.chairs import (
    FEN,
    HEATH,
    MARSH,
    STRANGER,
    a_chair,
    asked,
    card,
    given,
    left_in,
    needle,
    noted,
)
from tests.cast import BRYONY, CHICAGO, HAZEL, at, codes, with_second

from thawline.app.doses import entry_of_dose, find, not_given, told, unrecorded
from thawline.app.journal import shown
from thawline.app.mending import correct
from thawline.app.ports import Name
from thawline.base.errors import NotFoundError, RecordError, SecondPersonError
from thawline.base.instants import exactly, from_ms, local_date
from thawline.ledger.events import DoseNotGiven, EarlierDoseTold
from thawline.person.fold import PERSON
from thawline.vial.syringes import SYRINGE

# --- left without a dose ------------------------------------------------------------------


def test_left_without_a_dose_answers_the_check_and_keeps_why():
    day, _, (syringe, *_) = a_chair()
    noted(day, needle(code=syringe), "09:00")

    outcome = not_given(day.site, day.doing("09:10", why="changed their mind"), MARSH)

    assert outcome.event == DoseNotGiven(person=MARSH, why="changed their mind")
    assert unrecorded(day.site) == []
    assert day.one(SYRINGE, syringe).became == "drawn"


def test_of_a_reason_nobody_gave_it_says_so():
    day, *_ = a_chair()

    assert not_given(day.site, day.doing("09:10"), MARSH).event.why == "not said"


def test_nobody_unknown_left_without_a_dose():
    day, *_ = a_chair()

    with pytest.raises(NotFoundError, match=STRANGER):
        not_given(day.site, day.doing("09:10"), STRANGER)


def test_left_without_a_dose_though_one_is_on_record_is_told():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe), "09:00")

    outcome = not_given(day.site, day.doing("09:10"), MARSH)

    assert codes(outcome.findings) == ["dose-on-record"]
    assert not_given(day.site, day.doing("09:10"), FEN).findings == ()


def test_a_check_of_another_day_is_not_answered_by_todays_dose():
    day, _, syringes = a_chair()
    noted(day, needle(code=syringes[0]), "09:00")

    yesterday = day.doing("09:30", occurred=exactly(at("09:00", day=2)))
    not_given(day.site, yesterday, MARSH)

    assert [each.person for each in unrecorded(day.site)] == [MARSH]


# --- told from a card ---------------------------------------------------------------------


def test_a_dose_told_from_a_card_makes_the_next_one_the_second():
    day, _, (syringe, *_) = a_chair()

    outcome = told(
        day.site,
        day.doing("08:00"),
        EarlierDoseTold(person=STRANGER, given_on="2026-01-06", lot="ZZ-0907"),
    )

    assert outcome.event.lot == "ZZ-0907"
    answer = asked(day, needle(STRANGER, syringe), "09:00")
    assert (answer.may, answer.dose_number) == (True, 2)


def test_the_same_card_typed_twice_is_one_dose():
    day, *_ = a_chair()
    card(day, "2026-01-06")

    with pytest.raises(RecordError, match="on 2026-01-06 is on record already"):
        card(day, "2026-01-06")
    assert len(day.one(PERSON, MARSH).told) == 1


def test_a_card_that_shows_the_dose_of_today_adds_none():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe), "07:30")

    with pytest.raises(RecordError, match="is on record already"):
        card(day, "2026-02-03")


@pytest.mark.parametrize(
    ("given_on", "said"),
    [("2026-02-04", "has not come yet"), ("2026-02-30", "2026-02-30"), ("6 Jan", "6 Jan")],
    ids=["tomorrow", "no such day", "not ISO"],
)
def test_a_date_on_a_card_that_cannot_be_is_refused_by_its_value(given_on, said):
    day, *_ = a_chair()

    with pytest.raises(RecordError, match=said):
        card(day, given_on)


# --- finding ------------------------------------------------------------------------------


def named(day):
    """Give two of the people their names."""
    day.site.people.put(MARSH, Name("Ada Marlow", phone="555-0101"))
    day.site.people.put(FEN, Name("Ben Marlow"))
    return day


def test_a_person_is_found_by_code_and_people_by_a_part_of_their_name():
    day = named(a_chair()[0])

    assert [(each.person, each.name.called) for each in find(day.site, MARSH)] == [
        (MARSH, "Ada Marlow")
    ]
    assert [each.person for each in find(day.site, "marlow")] == [MARSH, FEN]


def test_a_person_whose_name_was_erased_is_still_found_by_code():
    day = named(a_chair()[0])
    day.site.people.erase(MARSH)

    (found,) = find(day.site, MARSH)

    assert (found.person, found.name) == (MARSH, None)


def test_somebody_known_by_name_alone_has_no_dose():
    day, *_ = a_chair()
    day.site.people.put("DEMO-000055", Name("Cleo Sedge"))

    (found,) = find(day.site, "Sedge")

    assert (found.state.doses, found.state.told) == ((), ())


def test_nobody_found_is_said():
    day, *_ = a_chair()

    with pytest.raises(NotFoundError, match="no person 'Quagmire' here"):
        find(day.site, "Quagmire")


# --- correcting ---------------------------------------------------------------------------


def test_a_corrected_dose_counts_as_corrected_and_stays_as_it_was_written():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe, arm="left"), "09:00")
    entry = entry_of_dose(day.site, MARSH, 1)

    correct(day.site, day.doing("09:30", why="asked again"), entry, {"arm": "right"})

    page = shown(day.site, entry)
    assert (page.entry.event.arm, page.counts_as.event.arm) == ("left", "right")
    assert day.one(PERSON, MARSH).doses[0].arm == "right"


def test_a_dose_is_corrected_as_often_as_it_takes():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe, arm="left"), "09:00")
    for clock, arm in (("09:30", "right"), ("09:40", "left")):
        entry = entry_of_dose(day.site, MARSH, 1)
        correct(day.site, day.doing(clock, why="asked again"), entry, {"arm": arm})

    assert [dose.arm for dose in day.one(PERSON, MARSH).doses] == ["left"]
    assert shown(day.site, entry).entry.event.arm == "left"


def test_of_two_entries_for_one_dose_the_newer_is_corrected():
    day, _, syringes = a_chair()
    for clock, syringe in zip(("09:00", "09:30"), syringes, strict=False):
        given(day, needle(code=syringe, dose_number=1), clock)

    entry = entry_of_dose(day.site, MARSH, 1)

    assert shown(day.site, entry).entry.event.syringe == syringes[1]


def test_a_dose_typed_for_the_wrong_person_counts_for_the_right_one():
    day, _, (syringe, *_) = a_chair()
    noted(day, needle(HEATH, syringe), "08:59")
    given(day, needle(MARSH, syringe), "09:00")

    entry = entry_of_dose(day.site, MARSH, 1)
    correct(day.site, day.doing("09:30", why="read wrongly"), entry, {"person": HEATH})

    assert day.one(PERSON, HEATH).doses[0].syringe == syringe
    assert unrecorded(day.site) == []
    with pytest.raises(NotFoundError, match=f"no dose 1 of {MARSH}"):
        entry_of_dose(day.site, MARSH, 1)


def test_a_corrected_time_is_the_one_that_second_doses_are_counted_from():
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe), "09:00")

    entry = entry_of_dose(day.site, MARSH, 1)
    doing = with_second(day.doing("09:30", why="typed late"), BRYONY)
    correct(day.site, doing, entry, {}, exactly(at("16:00", day=2)))

    (dose,) = day.one(PERSON, MARSH).doses
    assert from_ms(dose.lo_ms) == at("16:00", day=2)
    assert local_date(from_ms(dose.lo_ms), CHICAGO).isoformat() == "2026-02-02"


def test_a_later_time_that_buys_an_open_vial_time_takes_a_second_person():
    """The dose drawn at the chair at 07:30 was the vial's first puncture by the record."""
    day, *_ = a_chair()
    (vial,) = day.ready("07:15")
    given(day, needle(code=vial), "07:30")
    entry = entry_of_dose(day.site, MARSH, 1)
    later = exactly(at("08:30"))
    alone = day.doing("09:00", why="typed wrongly")

    with pytest.raises(SecondPersonError, match="buys a vial time"):
        correct(day.site, alone, entry, {}, later)
    assert not asked(day, needle(FEN, vial), "12:30").may
    both = with_second(day.doing("09:01", why="typed wrongly"), BRYONY)
    outcome = correct(day.site, both, entry, {}, later)
    assert codes(outcome.findings) == ["buys-time"]
    assert asked(day, needle(FEN, vial), "13:29").may


def test_a_dose_moved_to_another_syringe_is_taken_from_that_one():
    day, _, (one, other, *_) = a_chair()
    given(day, needle(code=one), "09:00")

    entry = entry_of_dose(day.site, MARSH, 1)
    changes = {"syringe": other, "doses_from": f"syringe:{other}"}
    correct(day.site, day.doing("09:30", why="scanned the neighbour"), entry, changes)

    assert (left_in(day, f"syringe:{one}"), left_in(day, f"syringe:{other}")) == (1, 0)
    assert (day.one(SYRINGE, one).became, day.one(SYRINGE, other).became) == (
        "drawn",
        "given",
    )


@pytest.mark.parametrize(
    ("person", "number", "said"),
    [(MARSH, 2, f"no dose 2 of {MARSH}"), (STRANGER, 1, f"no person '{STRANGER}'")],
)
def test_a_dose_that_is_not_on_record_cannot_be_corrected(person, number, said):
    day, _, (syringe, *_) = a_chair()
    given(day, needle(code=syringe), "09:00")

    with pytest.raises(NotFoundError, match=said):
        entry_of_dose(day.site, person, number)


def test_who_gave_it_is_who_recorded_it():
    day, _, (syringe, *_) = a_chair()

    assert given(day, needle(code=syringe), "09:00").event.given_by == HAZEL


def test_a_person_of_a_name_of_two_letters_is_found_by_it():
    day, *_ = a_chair()
    day.site.people.put(MARSH, Name("Bo"))
    day.site.people.put(FEN, Name("Bo Li"))

    assert [each.person for each in find(day.site, "bo")] == [MARSH]
    assert [each.person for each in find(day.site, "li bo")] == [FEN]
    with pytest.raises(RecordError, match="too short"):
        find(day.site, "li")
