"""Who is in front of the desk, compared with what is kept. All invented."""

from datetime import date

import pytest
from tests.app.chairs import (
    DAY_27,
    DAY_28,
    FEN,
    HEATH,
    MARSH,
    a_chair,
    asked,
    book,
    card,
    needle,
    stops,
)
from tests.cast import ROWAN, a_day, at, codes

from thawline.app.consents import amend
from thawline.app.meeting import meet
from thawline.app.ports import Name
from thawline.base.errors import NotFoundError, RecordError, UnsaidError
from thawline.base.findings import Level
from thawline.base.instants import exactly
from thawline.ledger.events import PersonBooked
from thawline.ledger.person_events import PersonAmended, PersonArrived
from thawline.person.desk import Compared
from thawline.person.likeness import Identity, Likeness

BORN, SWAPPED = date(1951, 2, 3), date(1951, 3, 2)
SAID = Identity("Bryony Testwick", BORN)


@pytest.fixture
def day():
    """Three people booked: two of one name, day and month of the birth date swapped."""
    day = a_day(vials=0)
    book(day, MARSH, FEN, HEATH)
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-02-03", "555-0142"))
    day.site.people.put(FEN, Name("Testwick, Bryony", "1951-03-02", "555-0142"))
    day.site.people.put(HEATH, Name("Hazel Rainmoor", None, "555-0143"))
    return day


def _meet(day, said=SAID, code=None):
    return meet(day.site, day.doing("08:55", by=ROWAN), said, code)


def _arrivals(day):
    return [e.event for e in day.entries() if isinstance(e.event, PersonArrived)][3:]


def test_name_and_birth_date_find_one_person_and_show_the_other(day):
    found = _meet(day)

    assert (found.person, found.compared, found.age) == (MARSH, Compared.AGREES, 75)
    assert [(each.person, each.likeness) for each in found.facing] == [
        (MARSH, Likeness.NAME_AND_BIRTH),
        (FEN, Likeness.SWAPPED),
    ]
    assert codes(found.outcome.findings) == ["same-name"]
    assert _arrivals(day) == [
        PersonArrived(person=MARSH, agreed=("name", "born"), same_name=(FEN,))
    ]


def test_nothing_that_names_a_person_enters_the_ledger(day):
    _meet(day)

    written = repr(_arrivals(day))
    assert not [word for word in ("Bryony", "Testwick", "1951", "0142") if word in written]


@pytest.mark.parametrize(
    "said",
    [Identity("Bryony Testwick"), Identity("Bryony Testwick", None, "555-0142")],
    ids=["name only", "a phone they share"],
)
def test_where_two_may_be_meant_nothing_is_recorded(day, said):
    found = _meet(day, said)

    assert (found.person, found.outcome, len(found.facing)) == (None, None, 2)
    assert _arrivals(day) == []


def test_of_two_with_one_name_and_birth_date_the_phone_tells_them_apart(day):
    day.site.people.put(FEN, Name("Bryony Testwick", "1951-02-03", "555-0150"))

    assert _meet(day).person is None
    assert _meet(day, Identity("Bryony Testwick", BORN, "555-0150")).person == FEN


def test_a_birth_date_that_differs_is_a_fact_and_refuses_the_dose():
    day, _, (code, *_) = a_chair()
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-02-03"))

    found = meet(day.site, day.doing("08:55"), Identity("Bryony Testwick", SWAPPED), MARSH)

    assert found.compared is Compared.DIFFERS
    assert found.outcome.findings[0].says.endswith("birth date. Give none.")
    assert stops(asked(day, needle(code=code), "09:00")) == {"identity-differs"}


def test_a_birth_date_nobody_kept_is_no_difference_and_two_others_agree(day):
    found = _meet(day, Identity("Hazel Rainmoor", BORN, "555 0143"))

    assert found.person is None  # nobody is sure who it is; the desk names the code
    assert _meet(day, Identity("Hazel Rainmoor", BORN, "555 0143"), HEATH).compared is (
        Compared.AGREES
    )


def test_one_identifier_is_too_few_and_asks_for_another(day):
    found = _meet(day, Identity("Hazel Rainmoor"), HEATH)

    (act,) = found.outcome.findings
    assert (act.level, act.code, found.age) == (Level.ACT, "identity-not-compared", None)


def test_another_phone_is_asked_about_and_stops_nothing(day):
    found = _meet(day, Identity("Bryony Testwick", BORN, "555-0199"), MARSH)

    assert codes(found.outcome.findings) == ["phone-differs", "same-name"]
    assert found.compared is Compared.AGREES


def test_somebody_without_a_kept_name_is_known_by_code_and_compared_with_nothing():
    day = a_day(vials=0)
    book(day, MARSH)

    assert _meet(day, SAID, MARSH).compared is Compared.TOO_FEW


@pytest.mark.parametrize(
    ("said", "code", "says"),
    [
        (Identity("Olive Nobody"), None, "nobody of that name"),
        (Identity(""), None, "no name and no code"),
        (SAID, "DEMO-000404", "no person"),
    ],
)
def test_who_is_not_on_the_list_is_a_walk_up(day, said, code, says):
    with pytest.raises(NotFoundError, match=says):
        _meet(day, said, code)


@pytest.mark.parametrize("born", [date(2026, 2, 4), date(1904, 2, 3)])
def test_a_birth_date_nobody_can_have_is_refused(day, born):
    with pytest.raises(RecordError, match=r"birth date|an age of"):
        _meet(day, Identity("Bryony Testwick", born), MARSH)


def test_what_is_kept_is_put_right_and_the_person_is_met_again():
    day, _, (code, *_) = a_chair()
    day.site.people.put(
        MARSH, Name("Bryony Testwick", "1951-03-02", "555-0142", "b@example.org")
    )
    assert "identity-not-compared" not in codes(asked(day, needle(code=code), "09:00").findings)

    outcome = amend(day.site, day.doing("08:56"), MARSH, Identity("", BORN))

    assert outcome.event == PersonAmended(person=MARSH, fields=("born",))
    kept = Name("Bryony Testwick", "1951-02-03", "555-0142", "b@example.org")
    assert day.site.people.get(MARSH) == kept
    assert "identity-not-compared" in codes(asked(day, needle(code=code), "09:00").findings)


def test_on_a_dry_run_what_is_kept_stays(day):
    amend(day.site, day.doing("08:56", dry_run=True), MARSH, Identity("Bryony Loom"))

    assert day.site.people.get(MARSH).called == "Bryony Testwick"


@pytest.mark.parametrize(
    ("person", "right", "error"),
    [
        (MARSH, Identity(""), UnsaidError),
        ("DEMO-000404", SAID, NotFoundError),
        (MARSH, Identity("", date(2030, 1, 1)), RecordError),
    ],
)
def test_nothing_to_put_right_nobody_and_a_slip_are_refused(day, person, right, error):
    with pytest.raises(error):
        amend(day.site, day.doing("08:56"), person, right)


def test_a_name_without_a_person_on_record_is_not_put_right(day):
    day.site.people.put("DEMO-000500", Name("Olive Nobody"))

    with pytest.raises(NotFoundError):
        amend(day.site, day.doing("08:56"), "DEMO-000500", SAID)


def test_a_comparison_typed_in_later_says_that_the_difference_of_after_it_counts(day):
    meet(day.site, day.doing("09:00"), Identity("Olive Loom", BORN), HEATH)
    before = day.doing("09:10", occurred=exactly(at("08:58")))

    met = meet(day.site, before, Identity("Hazel Rainmoor", None, "555-0143"), HEATH)

    assert codes(met.outcome.findings) == ["later-word"]
    assert "was compared (differs) at 09:00" in met.outcome.findings[0].says


def test_for_somebody_with_both_doses_none_is_next(day):
    card(day, "2025-12-22")
    card(day, "2026-01-22")

    met = _meet(day, SAID, MARSH)

    assert met.dose_number is None
    assert "already-two-doses" in codes(met.outcome.findings)


def test_the_bookings_are_as_they_were(day):
    _meet(day)

    assert len([e for e in day.entries() if isinstance(e.event, PersonBooked)]) == 3


@pytest.mark.parametrize(
    ("given_on", "found"),
    [(DAY_28, []), (DAY_27, ["too-early"])],
    ids=["day 28", "day 27"],
)
def test_who_comes_too_early_for_the_second_dose_is_told_so_at_the_desk(day, given_on, found):
    card(day, given_on)

    met = _meet(day, SAID, MARSH)

    assert met.dose_number == 2
    assert [code for code in codes(met.outcome.findings) if code != "same-name"] == found


@pytest.mark.parametrize(
    ("kept", "said"),
    [
        ("Bo Li", "Bo Li"),
        ("王 伟", "王 伟"),
        ("Ng O", "o ng"),
        ("José Núñez", "José Núñez"),
    ],
    ids=["short", "non-Latin", "one letter", "accents"],
)
def test_a_short_or_foreign_name_is_met_like_any_other(day, kept, said):
    day.site.people.put(MARSH, Name(kept, "1951-02-03"))

    found = _meet(day, Identity(said, BORN))

    assert (found.person, found.compared) == (MARSH, Compared.AGREES)


@pytest.mark.parametrize(
    "said",
    [Identity("", BORN, "555-0142"), Identity("Bryony Loom", BORN)],
    ids=["no name said", "another name said"],
)
def test_somebody_of_the_same_name_is_named_at_every_meeting(day, said):
    _meet(day)

    found = _meet(day, said, MARSH)

    assert "same-name" in codes(found.outcome.findings)
    assert found.outcome.event.same_name == (FEN,)


SPELLINGS = [
    ("Bryony Testwick", "Bryony Test-Wick"),
    ("Anne-Marie Fox", "Annemarie Fox"),
    ("Pat O'Neil", "Pat ONeil"),
    ("José Núñez", "Jose Nunez"),
    ("Maria Lopez Garcia", "Maria Lopez"),
]


@pytest.mark.parametrize(("kept", "said"), SPELLINGS)
def test_a_name_spelled_otherwise_is_asked_about_and_sends_nobody_away(kept, said):
    day, _, (code, *_) = a_chair()
    day.site.people.put(MARSH, Name(kept, "1951-02-03"))

    found = meet(day.site, day.doing("08:55"), Identity(said, BORN), MARSH)

    assert (found.compared, found.spelled) == (Compared.AGREES, (said, kept))
    assert [(f.level, f.code) for f in found.outcome.findings] == [
        (Level.CHECK, "name-spelled-otherwise")
    ]
    assert stops(asked(day, needle(code=code), "09:00")) == set()


def test_the_question_about_two_spellings_puts_no_name_in_the_record(day):
    day.site.people.put(MARSH, Name("José Núñez", "1951-02-03"))

    found = _meet(day, Identity("Jose Nunez", BORN))

    written = repr([found.outcome.findings, found.outcome.receipt, _arrivals(day)])
    assert "same person?" in written
    assert not [word for word in ("José", "Núñez", "Jose", "Nunez") if word in written]


def test_by_another_spelling_alone_nobody_is_met_before_the_desk_names_the_code(day):
    day.site.people.put(MARSH, Name("Anne-Marie Fox", "1951-02-03"))

    found = _meet(day, Identity("Annemarie Fox", BORN))

    assert (found.person, found.outcome) == (None, None)
    assert [(each.person, each.likeness) for each in found.facing] == [
        (MARSH, Likeness.SPELLED)
    ]
    assert _arrivals(day) == []


def test_of_two_spellings_the_one_that_is_said_is_met_and_the_other_is_shown(day):
    day.site.people.put(MARSH, Name("Anne-Marie Fox", "1951-02-03"))
    day.site.people.put(FEN, Name("Annemarie Fox", "1951-02-03"))

    found = _meet(day, Identity("Annemarie Fox", BORN))

    assert (found.person, found.spelled) == (FEN, None)
    assert found.outcome.event.same_name == (MARSH,)


def test_another_birth_date_stays_a_stop_whatever_the_spelling(day):
    day.site.people.put(MARSH, Name("Anne-Marie Fox", "1951-02-03"))

    found = _meet(day, Identity("Annemarie Fox", SWAPPED), MARSH)

    assert found.compared is Compared.DIFFERS
    assert found.outcome.findings[0].level is Level.STOP
