"""What may be set aside, with a made-up protocol that allows more than it may."""

import pytest

from thawline.base.findings import Finding, Level
from thawline.give.overrides import (
    NEVER,
    SetAside,
    lacks_second_person,
    may_be_set_aside,
    standing_stops,
)
from thawline.rules.protocol import Override

ALONE = Override(item="R1", second_person=False, source="demo")
TWO = Override(item="R2", second_person=True, source="demo")
OVERRIDES = {"not-screened": ALONE, "dose-today": TWO, "past-use-by": ALONE, "too-early": TWO}
REASON = SetAside("the clinical lead was at the chair")
SECONDED = SetAside("the clinical lead was at the chair", second="hazel")


def _stop(code: str) -> Finding:
    return Finding(Level.STOP, code, "no")


def _standing(code: str, given: SetAside | None) -> list[str]:
    return [stop.code for stop in standing_stops([_stop(code)], OVERRIDES, given)]


def test_a_stop_stands_until_somebody_gives_a_reason():
    assert _standing("not-screened", None) == ["not-screened"]
    assert _standing("not-screened", SetAside("  ")) == ["not-screened"]
    assert _standing("not-screened", REASON) == []


def test_where_the_protocol_wants_two_people_one_is_not_enough():
    assert _standing("dose-today", REASON) == ["dose-today"]
    assert _standing("dose-today", SECONDED) == []


def test_what_the_protocol_does_not_list_stands():
    assert _standing("look-alike-lot", SECONDED) == ["look-alike-lot"]


@pytest.mark.parametrize("code", ["past-use-by", "too-early"])
def test_use_by_and_the_earliest_day_stand_even_where_a_protocol_lists_them(code):
    assert _standing(code, SECONDED) == [code]


@pytest.mark.parametrize(
    "code", ["held", "lot-held", "arrived-without-history", "refrozen", "use-by-not-known"]
)
def test_holds_in_every_form_are_never_set_aside(code):
    assert may_be_set_aside(code, {code: ALONE}) is False
    assert code in NEVER


def test_findings_that_are_no_stops_forbid_nothing():
    check = Finding(Level.CHECK, "needs-help", "wheelchair")

    assert standing_stops([check], OVERRIDES, None) == ()


@pytest.mark.parametrize(
    ("codes", "given", "lacks"),
    [
        (["dose-today"], REASON, True),
        (["dose-today", "not-screened"], REASON, True),
        (["dose-today", "held"], REASON, False),
        (["not-screened"], REASON, False),
        (["dose-today"], SECONDED, False),
        (["dose-today"], None, False),
    ],
    ids=["one", "with one's own", "with a hold", "not needed", "there", "no reason yet"],
)
def test_a_second_person_is_asked_for_only_where_that_is_all_that_lacks(codes, given, lacks):
    stops = [_stop(code) for code in codes]

    assert lacks_second_person(stops, OVERRIDES, given) is lacks
