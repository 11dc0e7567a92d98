"""How acts are asked for, refused, set aside, tried out and repeated."""

from dataclasses import replace
from uuid import UUID

import pytest
from tests.cast import (
    BRYONY,
    HAZEL,
    PINS,
    ROWAN,
    VISITOR,
    a_day,
    codes,
    small,
    with_second,
)

from thawline.app.acts import second_person
from thawline.app.adoption import adopt
from thawline.app.vials import draw, open_vial
from thawline.base.errors import (
    RecordError,
    RefusedError,
    ReusedIdError,
    SecondPersonError,
)
from thawline.ledger.entries import Kind
from thawline.ledger.events import Refused, VialPunctured
from thawline.rules.protocol import ProtocolRef

EARLY = '[overrides.not-ready]\nitem = "V1"\nsecond_person = {two}\nsource = "demo"\n'
ALONE = small(EARLY.format(two="false"))
TWO = small(EARLY.format(two="true"))
ID = UUID("019bd000-0000-7000-8000-000000000001")


# --- second people ------------------------------------------------------------------------


def test_a_second_person_counts_by_their_own_pin():
    site = a_day().site

    second = second_person(site, ROWAN, BRYONY, PINS[BRYONY])

    assert (second.name, second.by_own_entry) == (BRYONY, True)


def test_a_second_person_without_a_pin_is_only_named():
    assert second_person(a_day().site, ROWAN, BRYONY, None).by_own_entry is False


@pytest.mark.parametrize("nobody", [None, ""])
def test_an_act_may_have_no_second_person(nobody):
    assert second_person(a_day().site, ROWAN, nobody, None) is None


@pytest.mark.parametrize("name", [ROWAN, "rowan thistle", "  Rowan   THISTLE "])
def test_nobody_is_the_second_person_to_their_own_act(name):
    with pytest.raises(SecondPersonError, match="cannot be the second person"):
        second_person(a_day().site, ROWAN, name, PINS[ROWAN])


@pytest.mark.parametrize(
    ("name", "pin"), [(BRYONY, "000000"), (BRYONY, ""), (VISITOR, "123456")]
)
def test_a_wrong_pin_is_refused_and_not_repeated(name, pin):
    with pytest.raises(SecondPersonError, match=f"not the PIN of {name}") as error:
        second_person(a_day().site, ROWAN, name, pin)

    assert not pin or pin not in str(error.value)


# --- refused, set aside, or a fact --------------------------------------------------------


@pytest.mark.parametrize("why", ["", "  "])
def test_a_refusal_is_not_set_aside_without_a_reason(why):
    day = a_day(ALONE)
    (vial,) = day.ready("06:35")

    with pytest.raises(RefusedError):
        open_vial(day.site, day.doing("06:40", why=why), vial)


def test_where_two_people_are_asked_for_a_name_alone_is_not_enough():
    day = a_day(TWO)
    (vial,) = day.ready("06:35")
    named = with_second(day.doing("06:40", why="queue"), by_own_entry=False)
    present = with_second(day.doing("06:41", why="queue"))

    with pytest.raises(SecondPersonError, match="by their own entry"):
        open_vial(day.site, named, vial)
    assert codes(open_vial(day.site, present, vial).findings) == ["not-ready"]


def test_a_refusal_is_kept_in_the_ledger_with_its_findings():
    day = a_day()
    (vial,) = day.ready("06:35")

    with pytest.raises(RefusedError):
        open_vial(day.site, day.doing("06:40"), vial)

    entry = day.entries()[-1]
    assert (entry.kind, type(entry.event)) == (Kind.REFUSAL, Refused)
    assert (entry.event.codes, entry.by) == (("not-ready",), HAZEL)


def test_a_fact_is_recorded_as_one_and_a_command_as_one():
    day = a_day()
    (vial,) = day.ready("06:35")

    open_vial(day.site, day.doing("06:40", happened=True), vial)
    draw(day.site, day.doing("06:41", happened=False), vial)

    assert [entry.kind for entry in day.entries()[-2:]] == [Kind.FACT, Kind.COMMAND]


def test_an_entry_says_who_where_why_and_under_which_version():
    day = a_day()
    (vial,) = day.ready("06:35")

    doing = day.doing("07:00", station="table-1", device="tablet-2", by=HAZEL)
    outcome = open_vial(day.site, doing, vial)

    entry = day.entries()[-1]
    assert (entry.by, entry.station, entry.device) == (HAZEL, "table-1", "tablet-2")
    assert (entry.protocol, entry.zone) == (small().ref, "America/Chicago")
    assert (outcome.protocol, outcome.receipt.seq) == (small().ref, entry.seq)


def test_an_act_names_who_does_it():
    day = a_day()
    (vial,) = day.ready("06:35")

    with pytest.raises(RecordError, match="nobody is named"):
        open_vial(day.site, day.doing("07:00", by="  "), vial)


# --- tried out and repeated ---------------------------------------------------------------


def test_a_dry_run_says_what_would_be_recorded_and_records_nothing():
    day = a_day()
    (vial,) = day.ready("06:35")
    before = len(day.entries())

    outcome = open_vial(day.site, day.doing("07:00", dry_run=True), vial)

    assert (outcome.event, outcome.receipt) == (VialPunctured(vial=vial), None)
    assert len(day.entries()) == before


def test_a_dry_run_is_refused_like_the_act_itself_and_leaves_no_trace():
    day = a_day()
    (vial,) = day.ready("06:35")
    before = len(day.entries())

    with pytest.raises(RefusedError):
        open_vial(day.site, day.doing("06:40", dry_run=True), vial)
    assert len(day.entries()) == before


def test_the_same_act_asked_twice_is_recorded_once():
    day = a_day()
    (vial,) = day.ready("06:35")
    doing = day.doing("07:00", id=ID)

    first = open_vial(day.site, doing, vial)
    count = len(day.entries())
    second = open_vial(day.site, doing, vial)

    assert (second.receipt, second.event) == (first.receipt, first.event)
    assert (second.receipt.again, len(day.entries())) == (True, count)


def test_a_refusal_asked_again_is_the_same_refusal():
    day = a_day()
    (vial,) = day.ready("06:35")
    doing = day.doing("06:40", id=ID)
    with pytest.raises(RefusedError) as first:
        open_vial(day.site, doing, vial)

    with pytest.raises(RefusedError) as second:
        open_vial(day.site, doing, vial)

    assert second.value.findings == first.value.findings


def test_an_id_that_stands_for_another_act_is_refused():
    day = a_day()
    one, other = day.ready("06:35", 2)
    open_vial(day.site, day.doing("07:00", id=ID), one)

    with pytest.raises(ReusedIdError, match=str(ID)):
        open_vial(day.site, day.doing("07:00", id=ID), other)
    with pytest.raises(ReusedIdError):
        open_vial(day.site, day.doing("07:00", id=ID, why="another reason"), one)


# --- adopting a protocol ------------------------------------------------------------------


def test_a_site_keeps_one_protocol_in_versions():
    day = a_day()
    other = replace(small(), ref=ProtocolRef("large", 1, "cd" * 32))

    with pytest.raises(RecordError, match="uses protocol small, not large"):
        day.adopt(other)


def test_a_version_is_not_adopted_again_with_other_bytes():
    day = a_day()

    with pytest.raises(RecordError, match="version 1 was adopted with other bytes") as error:
        day.adopt(small(open="PT4H"))
    assert "new version number" in error.value.advice


def test_a_version_older_than_the_one_in_use_is_not_adopted():
    day = a_day(small(version=2), vials=0)
    older = small(version=1, effective_from="2026-01-05T06:00:00-06:00")

    with pytest.raises(RecordError, match="version 1 is older than version 2, which is in use"):
        day.adopt(older)


def test_an_adoption_says_whether_a_second_person_was_there():
    day = a_day(vials=0)
    second = small(version=2, open="PT4H")
    day.rules.files[second.ref.sha256] = second

    named = adopt(day.site, with_second(day.doing(by=ROWAN), by_own_entry=False), second)

    assert (named.event.second, named.event.second_by_own_entry) == (BRYONY, False)
    assert day.entries()[0].event.second is None
