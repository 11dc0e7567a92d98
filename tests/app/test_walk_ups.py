"""Somebody comes without a place: a code, a name kept apart, a place now. All invented."""

from datetime import date
from uuid import UUID

import pytest
from tests.app.chairs import MARSH, book
from tests.cast import ROWAN, a_day, at, codes, small

from thawline.app.acts import act
from thawline.app.bookings import list_bookings
from thawline.app.consents import amend, consent
from thawline.app.doses import told
from thawline.app.meeting import meet
from thawline.app.ports import Name
from thawline.app.standby import Told, add
from thawline.app.walk_ups import WalkUp, take_in
from thawline.base.errors import (
    IndeterminateError,
    NotFoundError,
    RecordError,
    RefusedError,
    ReusedIdError,
    UnsaidError,
)
from thawline.base.instants import to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import EarlierDoseTold, PersonBooked, ProtocolAdopted
from thawline.ledger.person_events import ConsentAnswered, PersonArrived
from thawline.ledger.standby_events import StandbyAdded
from thawline.person.likeness import Identity

BORN = date(1951, 1, 20)
SAID = Identity("Bryony Testwick", BORN, "555-0142")
DAY_28, DAY_27 = date(2026, 1, 6), date(2026, 1, 7)  # of a first dose, seen from 3 February
YOUNG = """\
[[screening]]
item = "Q15"
ask.en = "Are you under {ask_if.age_below} years old?"
yes = "not-given"
not_sure = "refer"
says.en = "Under {ask_if.age_below} years old: no dose here."
ask_if = { age_below = 18 }
derived_from = "birth-date"
source = "demo"
"""


@pytest.fixture
def day():
    return a_day(vials=0)


def _come(day, said=SAID, clock="10:00", by=ROWAN, more=None, **doing):
    return take_in(day.site, day.doing(clock, by=by, **doing), WalkUp(said, **(more or {})))


def _events(day, *kinds):
    return [entry.event for entry in day.entries() if isinstance(entry.event, kinds)]


def test_a_walk_up_gets_a_code_a_place_now_and_is_on_the_list(day):
    found = _come(day, more={"language": "es", "needs": "wheelchair"})

    assert (found.person, found.dose_number) == ("P-000001", 1)
    (listed,) = list_bookings(day.site)
    assert (listed.name, listed.needs, listed.group) == (
        "Bryony Testwick",
        "wheelchair",
        "walk-up",
    )
    assert found.outcome.event == PersonArrived(
        person="P-000001", agreed=("name", "born", "phone"), walk_up=True
    )


def test_the_name_is_kept_apart_and_the_ledger_has_the_code_alone(day):
    _come(day)

    written = repr(_events(day, PersonBooked, PersonArrived))
    assert not [word for word in ("Bryony", "1951", "0142") if word in written]
    assert day.site.people.get("P-000001") == Name("Bryony Testwick", "1951-01-20", "555-0142")


def test_no_document_phone_or_birth_date_is_needed(day):
    found = _come(day, Identity("Bryony"))

    assert found.person == "P-000001"
    assert codes(found.outcome.findings) == ["identity-not-compared"]


@pytest.mark.parametrize(
    "said",
    [SAID, Identity("Bryony Testwick"), Identity("Testwick Bryony", None, "555-0199")],
    ids=["the same", "name only", "another phone"],
)
def test_who_may_be_on_the_list_is_shown_and_nothing_is_recorded(day, said):
    _come(day)
    before = len(day.entries())

    found = _come(day, said, clock="10:05")

    assert (found.person, [each.person for each in found.facing]) == (None, ["P-000001"])
    assert len(day.entries()) == before


def test_another_birth_date_is_another_person_and_the_first_is_named(day):
    _come(day)

    found = _come(day, Identity("Bryony Testwick", date(1960, 5, 5)), clock="10:05")

    assert found.person == "P-000002"
    assert found.outcome.event.same_name == ("P-000001",)


def test_somebody_looked_and_it_is_another_person(day):
    _come(day)

    assert _come(day, clock="10:05", more={"another": True}).person == "P-000002"


def test_a_code_that_another_desk_took_just_now_is_left_to_them(day):
    day.site.people.put("P-000001", Name("Olive Loom"))

    assert _come(day).person == "P-000002"


def test_asked_again_with_its_id_nobody_is_taken_in_twice(day):
    act = UUID("01936b1e-0000-7000-8000-000000000001")

    first, again = (_come(day, id=act), _come(day, id=act))

    assert (again.person, again.dose_number) == (first.person, 1)
    assert again.outcome.receipt.seq == first.outcome.receipt.seq
    assert len(_events(day, PersonBooked)) == 1


@pytest.mark.parametrize(
    ("said", "more"),
    [
        (Identity("Olive Loom", BORN), {}),
        (Identity("Bryony Testwick", date(1960, 5, 5)), {}),
        (SAID, {"code": MARSH}),
    ],
    ids=["another name", "another birth date", "another code"],
)
def test_the_id_of_somebody_elses_walk_up_is_refused(day, said, more):
    act = UUID("01936b1e-0000-7000-8000-000000000001")
    _come(day, id=act)

    with pytest.raises(ReusedIdError):
        _come(day, said, id=act, more=more)

    assert len(_events(day, PersonBooked)) == 1


def test_the_id_of_another_kind_of_act_is_refused_before_anything_is_kept(day):
    (adopted,) = [e for e in day.entries() if isinstance(e.event, ProtocolAdopted)]

    with pytest.raises(ReusedIdError):
        _come(day, id=adopted.id)

    assert (_events(day, PersonBooked), day.site.people.get("P-000001")) == ([], None)


class _CutError(Exception):
    """The power fails."""


def _cut_after(day, entries):
    """Let the power fail when so many more entries are on the disk."""
    record, left = day.site.ledger.record, iter(range(entries))

    def until_then(act, decide):
        if next(left, None) is None:
            day.site.ledger.record = record
            raise _CutError
        return record(act, decide)

    day.site.ledger.record = until_then


@pytest.mark.parametrize("entries", [1, 2], ids=["after the card", "after the place"])
def test_cut_off_in_between_the_same_id_finishes_it(day, entries):
    act = UUID("01936b1e-0000-7000-8000-000000000001")
    more = {"first_dose": DAY_28, "first_lot": "ZZ-0907"}
    _cut_after(day, entries)
    with pytest.raises(_CutError):
        _come(day, id=act, more=more)

    found = _come(day, clock="10:05", id=act, more=more)

    assert (found.person, found.dose_number) == ("P-000001", 2)
    recorded = _events(day, EarlierDoseTold, PersonBooked, PersonArrived)
    assert [type(each) for each in recorded] == [EarlierDoseTold, PersonBooked, PersonArrived]


def test_where_nobody_knows_whether_a_part_was_recorded_the_walk_ups_own_id_is_named(day):
    act = UUID("01936b1e-0000-7000-8000-000000000001")

    def unsure(act, _decide):
        raise IndeterminateError("disk error", advice=f"repeat the command with --id {act.id}")

    day.site.ledger.record = unsure
    with pytest.raises(IndeterminateError) as error:
        _come(day, id=act)

    assert f"--id {act}" in error.value.advice


def test_cut_off_in_between_the_id_finishes_nobody_elses_walk_up(day):
    act = UUID("01936b1e-0000-7000-8000-000000000001")
    _cut_after(day, 1)
    with pytest.raises(_CutError):
        _come(day, id=act)

    with pytest.raises(ReusedIdError):
        _come(day, Identity("Olive Loom", BORN), clock="10:05", id=act)


def test_on_a_dry_run_no_name_and_no_place_is_kept(day):
    found = _come(day, dry_run=True)

    assert (found.person, found.outcome.receipt) == ("P-000001", None)
    assert day.site.people.get("P-000001") is None
    assert _events(day, PersonBooked) == []


def test_a_first_dose_elsewhere_is_typed_from_the_card_and_the_second_comes_on_day_28(day):
    found = _come(day, more={"first_dose": DAY_28, "first_lot": "ZZ-0907"})

    assert found.dose_number == 2
    (card,) = _events(day, EarlierDoseTold)
    assert (card.given_on, card.lot) == ("2026-01-06", "ZZ-0907")


def test_a_day_before_day_28_nobody_is_taken_in(day):
    with pytest.raises(RefusedError) as error:
        _come(day, more={"first_dose": DAY_27})

    assert codes(error.value.findings) == ["too-early"]
    assert day.site.people.get("P-000001") is None


@pytest.mark.parametrize(
    ("card", "says"),
    [
        (date(2026, 2, 4), "which has not come yet"),
        (date(1951, 1, 19), "before the birth on 1951-01-20"),
    ],
)
def test_a_card_with_a_date_that_cannot_be_is_refused(day, card, says):
    with pytest.raises(RecordError, match=says):
        _come(day, more={"first_dose": card})


@pytest.mark.parametrize("born", [date(2026, 2, 4), date(1904, 2, 3)])
def test_a_birth_date_nobody_can_have_is_refused(day, born):
    with pytest.raises(RecordError):
        _come(day, Identity("Bryony Testwick", born))


def test_an_age_that_gets_no_dose_here_gets_no_place():
    day = a_day(small(YOUNG), vials=0)

    with pytest.raises(RefusedError) as error:
        _come(day, Identity("Bryony Testwick", date(2008, 2, 4)))

    assert (codes(error.value.findings), error.value.findings[0].item) == (
        ["not-this-age"],
        "Q15",
    )
    assert _come(day, Identity("Bryony Testwick", date(2008, 2, 3))).person == "P-000001"


def test_the_kept_birth_date_of_somebody_known_counts_too():
    day = a_day(small(YOUNG), vials=0)
    day.site.people.put("DEMO-000009", Name("Rue Loom", "2010-01-01"))
    book(day, MARSH)
    _come(day, Identity("Rue Loom", date(1990, 1, 1)), more={"another": True})
    day.site.people.put("P-000001", Name("Rue Loom", "2010-01-01"))
    day.now = day.now.replace(day=4)

    with pytest.raises(RefusedError):
        take_in(day.site, day.doing(by=ROWAN), WalkUp(Identity(""), code="P-000001"))


def test_somebody_with_a_place_today_is_met_and_not_taken_in(day):
    book(day, MARSH)

    with pytest.raises(RecordError, match="has a place today"):
        _come(day, more={"code": MARSH})


def test_somebody_known_keeps_their_code_and_is_compared(day):
    book(day, MARSH)
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-01-21"))
    day.now = day.now.replace(day=5)

    found = take_in(day.site, day.doing(by=ROWAN), WalkUp(SAID, code=MARSH))

    assert found.person == MARSH
    assert codes(found.outcome.findings) == ["identity-differs"]


def test_a_code_nobody_has_a_missing_name_and_a_missing_registrar_are_refused(day):
    with pytest.raises(NotFoundError):
        _come(day, more={"code": "DEMO-000404"})
    with pytest.raises(UnsaidError, match="no name"):
        _come(day, Identity(" "))
    with pytest.raises(UnsaidError, match="nobody is named"):
        _come(day, by=" ")


def test_a_walk_up_is_met_again_by_name_and_birth_date(day):
    _come(day)

    assert meet(day.site, day.doing("10:10"), SAID).person == "P-000001"


def _card(day, given_on):
    return told(day.site, day.doing(), EarlierDoseTold(person="P-000001", given_on=given_on))


def test_a_card_with_a_dose_before_the_birth_is_refused(day):
    _come(day)

    with pytest.raises(RecordError, match="before the birth of P-000001"):
        _card(day, "1951-01-19")


def test_a_card_of_a_later_dose_is_kept_and_both_dates_are_named(day):
    _come(day, more={"first_dose": DAY_28})

    (act,) = _card(day, "2026-01-20").findings

    assert (act.code, "2026-01-06" in act.says, "2026-01-20" in act.says) == (
        *("not-the-first", True, True),
    )
    assert _card(day, "2026-01-05").findings == ()


def test_a_place_still_to_come_is_named_and_takes_nothing_away(day):
    place = PersonBooked(person=MARSH, slot_ms=to_ms(at("09:00", 9)), dose_number=1)
    act(day.site, day.doing(), {"command": "x"}, lambda _view: Decision(place), kind=Kind.FACT)
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-01-20"))

    found = _come(day, more={"code": MARSH})

    assert codes(found.outcome.findings) == ["later-place"]
    assert "2026-02-09" in found.outcome.findings[0].says
    assert len(list_bookings(day.site)) == 2


@pytest.mark.parametrize("name", ["Bo Li", "王 伟", "O Ng", "José Núñez", "Y"])
def test_a_short_or_foreign_name_is_taken_in_and_found_again(day, name):
    said = Identity(name, BORN)

    assert _come(day, said).person == "P-000001"
    assert [each.person for each in _come(day, said, clock="10:05").facing] == ["P-000001"]


def test_a_name_without_letters_is_kept_as_it_is_said(day):
    found = _come(day, Identity("-", BORN))

    assert day.site.people.get(found.person).called == "-"


OLIVE = Identity("Olive Loom", BORN, "555-0142")


def _on_standby(day):
    name = Name("Olive Loom", "1951-01-20", "555-0142")
    add(day.site, day.doing("08:00", by=ROWAN), "S-1", Told(10, name=name))


def test_somebody_on_the_standby_list_is_shown_and_taken_in_under_their_code(day):
    _on_standby(day)

    shown = _come(day, OLIVE)
    found = _come(day, OLIVE, more={"code": "S-1"})

    assert (shown.person, [each.person for each in shown.facing]) == (None, ["S-1"])
    assert (found.person, found.dose_number) == ("S-1", 1)
    assert meet(day.site, day.doing("10:10"), OLIVE).person == "S-1"


def test_somebody_on_the_standby_list_says_yes_and_is_put_right_like_anybody(day):
    _on_standby(day)

    said = ConsentAnswered(person="S-1", answer="yes", whose="self", edition="2026-01-15")
    assert consent(day.site, day.doing("10:00", by=ROWAN), said).receipt is not None
    amend(day.site, day.doing("10:01", by=ROWAN), "S-1", Identity("", date(1951, 1, 21)))

    assert day.site.people.get("S-1").born == "1951-01-21"


def test_a_code_that_only_a_kept_name_knows_can_be_taken_in(day):
    day.site.people.put("P-000001", Name("Olive Loom", "1951-01-20"))  # cut off, or undone

    assert _come(day, OLIVE, more={"code": "P-000001"}).person == "P-000001"


def test_somebody_taken_in_by_their_code_alone_is_told_apart_from_who_has_their_name(day):
    _come(day)
    _come(day, Identity("Bryony Testwick", date(1960, 5, 5)), clock="10:05")
    day.now = day.now.replace(day=5)

    said = WalkUp(Identity("", BORN, "555-0142"), code="P-000001")
    found = take_in(day.site, day.doing(by=ROWAN), said)

    assert found.outcome.event.same_name == ("P-000002",)
    assert "same-name" in codes(found.outcome.findings)


def test_who_may_be_on_the_list_under_another_spelling_is_shown_first(day):
    _come(day, Identity("Anne-Marie Fox", BORN))

    found = _come(day, Identity("Annemarie Fox", BORN), clock="10:05")

    assert (found.person, [each.person for each in found.facing]) == (None, ["P-000001"])


def test_taken_in_by_code_under_another_spelling_both_are_shown(day):
    day.site.people.put("P-000001", Name("Anne-Marie Fox", "1951-01-20"))

    found = _come(day, Identity("Annemarie Fox", BORN), more={"code": "P-000001"})

    assert found.spelled == ("Annemarie Fox", "Anne-Marie Fox")
    assert codes(found.outcome.findings) == ["name-spelled-otherwise"]


@pytest.mark.parametrize(
    "event",
    [PersonArrived(person="P-000001"), StandbyAdded(person="P-000001", travel_min=10)],
    ids=["seen at the desk", "on the standby list"],
)
def test_a_code_that_any_list_knows_is_not_given_to_somebody_new(day, event):
    act(day.site, day.doing(), {"command": "x"}, lambda _view: Decision(event), kind=Kind.FACT)

    assert _come(day).person == "P-000002"


def test_somebody_on_the_standby_list_without_a_kept_name_is_met_by_their_code(day):
    _on_standby(day)
    day.site.people.erase("S-1")

    assert meet(day.site, day.doing("10:00", by=ROWAN), OLIVE, "S-1").person == "S-1"
