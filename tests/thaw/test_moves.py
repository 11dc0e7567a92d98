"""Whether a vial may go where somebody wants to put it; figures made up, see tests/cast.py."""

import pytest
from tests.cast import codes, small
from tests.vial.stories import OPEN, SMALL, THAWED, asked

from thawline.thaw.moves import move_findings

NO_RETURN = '[handling.return_from_table]\nitem = "H1"\nmay = {may}\nsource = "demo"\n'


def speaks_against(to, time, *facts, rules=SMALL, on_table=False):
    found = asked(time, *facts, rules=rules)
    return list(move_findings("HK47M", found, to, rules, on_table=on_table))


def test_a_frozen_vial_may_go_anywhere():
    assert not [
        found for to in ("fridge", "table", "freezer") for found in speaks_against(to, "03:00")
    ]


@pytest.mark.parametrize(
    ("time", "facts"),
    [("04:01", ("04:00 to-fridge",)), ("09:00", ("04:00 to-fridge",)), ("07:00", THAWED)],
    ids=["thawing", "thawed", "on the table"],
)
def test_what_has_left_the_freezer_never_goes_back_into_it(time, facts):
    (stop,) = speaks_against("freezer", time, *facts)

    assert (stop.code, stop.item) == ("refrozen", "T1")
    assert "a thawed vial is never refrozen" in stop.says


@pytest.mark.parametrize(
    ("more", "found"),
    [
        ("", ["no-return-from-table"]),
        (NO_RETURN.format(may="false"), ["no-return-from-table"]),
        (NO_RETURN.format(may="true"), []),
    ],
    ids=["absent", "forbidden", "allowed"],
)
def test_an_unopened_vial_returns_from_the_table_only_where_it_is_allowed(more, found):
    rules = small(more).protocol

    against = speaks_against("fridge", "07:00", *THAWED, rules=rules, on_table=True)

    assert codes(against) == found
    assert [each.item for each in against] == [None if not more else "H1" for _ in found]


def test_an_open_vial_is_not_put_away():
    (stop,) = speaks_against("fridge", "08:00", *OPEN, on_table=True)

    assert (stop.code, stop.item) == ("open-not-kept", "C4")


def test_a_protocol_without_a_clock_named_open_names_no_item():
    rules = small().protocol
    renamed = type(rules)(
        **{name: getattr(rules, name) for name in rules.__struct_fields__ if name != "clocks"},
        clocks={"punctured": rules.clocks["open"]},
    )

    (stop,) = speaks_against("fridge", "08:00", *OPEN, rules=renamed, on_table=True)

    assert stop.item is None


def test_a_held_vial_is_put_cold_and_apart():
    facts = (*THAWED, "07:00 hold why=shaken")

    assert speaks_against("fridge", "07:05", *facts, on_table=True) == []


@pytest.mark.parametrize(
    ("time", "facts", "found"),
    [
        ("05:00", ("04:00 to-fridge", "04:30 hold"), ["held"]),
        ("24/05:00", ("04:00 to-fridge",), ["past-use-by"]),
        ("09:00", ("05:00 arrive as=chilled", "05:30 release"), ["use-by-not-known"]),
    ],
)
def test_what_may_not_be_used_does_not_come_to_the_table(time, facts, found):
    assert codes(speaks_against("table", time, *facts)) == found


@pytest.mark.parametrize("to", ["fridge", "table", "freezer"])
def test_a_discarded_vial_goes_nowhere(to):
    facts = (*THAWED, "07:00 discard")

    assert codes(speaks_against(to, "08:00", *facts, on_table=True)) == ["vial-discarded"]
