"""What is kept of somebody put right, while others look and when the power fails. Invented."""

from datetime import date
from uuid import UUID

import pytest
from tests.app.chairs import MARSH, a_chair, asked, needle
from tests.app.test_walk_ups import YOUNG
from tests.cast import at, codes, small

from thawline.app import consents, meeting, walk_ups
from thawline.app.consents import amend
from thawline.app.meeting import meet
from thawline.app.mending import undo
from thawline.app.ports import Name
from thawline.app.screenings import interview
from thawline.app.walk_ups import WalkUp
from thawline.base.errors import NotFoundError, RecordError, RefusedError, ReusedIdError
from thawline.ledger.person_events import PersonAmended, PersonArrived
from thawline.person.desk import Compared
from thawline.person.likeness import Identity

WRONG, RIGHT = date(1951, 1, 20), date(1951, 1, 21)
SAID = Identity("Bryony Testwick", WRONG)
ID = UUID("01936b1e-0000-7000-8000-000000000001")


@pytest.fixture
def chair():
    """A chair, its first syringe, and one person whose kept birth date is a day off."""
    day, _, (syringe, *_) = a_chair()
    day.site.people.put(MARSH, Name("Bryony Testwick", WRONG.isoformat(), "555-0142"))
    return day, syringe


def _amend(day, born=RIGHT, clock="08:56", **more):
    return amend(day.site, day.doing(clock, **more), MARSH, Identity("", born))


def _meet(day, clock="08:56", said=SAID):
    return meet(day.site, day.doing(clock), said, MARSH)


def _born(day):
    return day.site.people.get(MARSH).born


def _events(day, kind):
    return [entry.event for entry in day.entries() if isinstance(entry.event, kind)]


def _is_asked_again(day, syringe):
    found = asked(day, needle(code=syringe), "09:00").findings
    return "identity-not-compared" in codes(found) or "identity-differs" in codes(found)


def _cut_off(day, monkeypatch, step, **more):
    """Let the power fail before the record is written, or before the kept name is."""

    def fail(*_, **__):
        raise SystemExit("power")

    with monkeypatch.context() as patched:
        patched.setattr(consents, step, fail)
        with pytest.raises(SystemExit):
            _amend(day, **more)


@pytest.mark.parametrize("before", ["act", "_finish"])
def test_a_meeting_while_it_is_put_right_never_counts_against_the_old_value(
    chair, monkeypatch, before
):
    day, syringe = chair
    real = getattr(consents, before)

    def meets_first(*args, **more):
        _meet(day)
        return real(*args, **more)

    monkeypatch.setattr(consents, before, meets_first)
    _amend(day)

    assert _born(day) == "1951-01-21"
    assert _is_asked_again(day, syringe)


def _walks_in(day):
    return walk_ups._arrived(day.site, day.doing("08:56"), MARSH, WalkUp(SAID), ())


@pytest.mark.parametrize(
    ("module", "compares"), [(meeting, _meet), (walk_ups, _walks_in)], ids=["met", "walks in"]
)
def test_put_right_while_somebody_is_compared_asks_to_compare_again(
    chair, monkeypatch, module, compares
):
    day, _ = chair
    before = len(_events(day, PersonArrived))
    real = module.act

    def amends_first(*args, **more):
        monkeypatch.setattr(module, "act", real)
        _amend(day)
        return real(*args, **more)

    monkeypatch.setattr(module, "act", amends_first)
    with pytest.raises(RecordError, match="put right just now"):
        compares(day)

    assert len(_events(day, PersonArrived)) == before


def test_the_same_act_again_changes_nothing_and_answers_the_same(chair):
    day, _ = chair
    first = _amend(day, id=ID)

    again = _amend(day, id=ID)

    assert again.receipt == first.receipt
    assert len(_events(day, PersonAmended)) == 1


def test_the_same_id_with_another_value_is_refused_and_what_is_kept_stays(chair):
    day, _ = chair
    _amend(day, id=ID)

    with pytest.raises(ReusedIdError, match="another born"):
        _amend(day, date(1990, 1, 1), id=ID)

    assert _born(day) == "1951-01-21"


def test_an_id_of_another_act_is_refused_and_what_is_kept_stays(chair):
    day, _ = chair
    arrived = next(e for e in day.entries() if isinstance(e.event, PersonArrived))

    with pytest.raises(ReusedIdError):
        _amend(day, id=arrived.id)

    assert day.site.people.get(MARSH) == Name("Bryony Testwick", "1951-01-20", "555-0142")


def test_cut_off_before_the_record_nothing_was_put_right(chair, monkeypatch):
    day, syringe = chair
    _cut_off(day, monkeypatch, "act", id=ID)

    assert (_born(day), _events(day, PersonAmended)) == ("1951-01-20", [])
    assert _meet(day).compared is Compared.AGREES
    assert not _is_asked_again(day, syringe)


def test_cut_off_after_the_record_the_new_value_counts_at_once(chair, monkeypatch):
    day, syringe = chair
    _cut_off(day, monkeypatch, "_finish", id=ID)

    assert _meet(day).compared is Compared.DIFFERS
    assert _is_asked_again(day, syringe)


@pytest.mark.parametrize("step", ["act", "_finish"])
def test_what_was_cut_off_is_finished_by_its_id(chair, monkeypatch, step):
    day, _ = chair
    _cut_off(day, monkeypatch, step, id=ID)

    _amend(day, id=ID)

    assert day.site.people.get(MARSH) == Name("Bryony Testwick", "1951-01-21", "555-0142")
    assert len(_events(day, PersonAmended)) == 1


def test_what_was_cut_off_after_the_record_is_not_finished_with_another_value(
    chair, monkeypatch
):
    day, _ = chair
    _cut_off(day, monkeypatch, "_finish", id=ID)

    with pytest.raises(ReusedIdError):
        _amend(day, date(1990, 1, 1), id=ID)

    assert _meet(day, said=Identity("Bryony Testwick", RIGHT)).compared is Compared.AGREES


def test_of_two_who_put_right_different_things_at_once_both_count(chair, monkeypatch):
    day, _ = chair
    real = consents.act

    def other_first(*args, **more):
        monkeypatch.setattr(consents, "act", real)
        amend(day.site, day.doing("08:56"), MARSH, Identity("", None, "555-0199"))
        return real(*args, **more)

    monkeypatch.setattr(consents, "act", other_first)
    _amend(day)

    assert day.site.people.get(MARSH) == Name("Bryony Testwick", "1951-01-21", "555-0199")


def test_nothing_waits_for_an_act_that_is_refused(chair):
    day, _ = chair
    day.site.people.put("DEMO-000500", Name("Olive Nobody"))

    with pytest.raises(NotFoundError):
        amend(day.site, day.doing("08:56"), "DEMO-000500", SAID)

    assert day.site.people.get("DEMO-000500") == Name("Olive Nobody")


def test_the_age_at_the_screening_is_by_the_birth_date_that_counts(monkeypatch):
    day, *_ = a_chair(small(YOUNG))
    day.site.people.put(MARSH, Name("Bryony Testwick", "1951-01-20"))
    _cut_off(day, monkeypatch, "_finish", born=date(1961, 1, 20))

    # 20 January 1961 to 3 February 2026: 65 whole years (calendar)
    assert interview(day.site, MARSH, at("09:00")).person.age == 65


def test_who_was_put_right_is_amended_again_and_not_undone(chair):
    day, _ = chair
    _amend(day)

    with pytest.raises(RefusedError) as error:
        undo(day.site, day.doing(why="wrong person"), str(day.entries()[-1].seq))

    assert (codes(error.value.findings), error.value.advice) == (
        ["never-undone"],
        "thawline person amend",
    )
