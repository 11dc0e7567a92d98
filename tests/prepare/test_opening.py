"""Whether a vial may be opened or drawn from, and which one comes next; figures made up."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest
from tests.cast import codes, small
from tests.vial.stories import OPEN, SMALL, THAWED, asked, moment

from thawline.base.findings import Level
from thawline.prepare.opening import draw_refusals, next_ones, open_findings

CHICAGO = ZoneInfo("America/Chicago")
PUNCTURES = small('[punctures]\nitem = "D5"\nmost = 3\nsource = "demo"\n').protocol


def opening(time, *facts):
    found = asked(time, *facts)
    return list(open_findings("HK47M", found, moment(time), SMALL, CHICAGO))


def drawing(doses, *facts, left=8, drawn=0, time="08:00", rules=SMALL):
    found = asked(time, *facts, rules=rules)
    return list(draw_refusals("HK47M", found, left, drawn, doses, rules))


def test_a_ready_vial_may_be_opened():
    assert opening("06:45", *THAWED) == []


@pytest.mark.parametrize(
    ("time", "facts", "says"),
    [
        ("03:00", (), "HK47M is frozen; when it is ready is not known: take it to the table"),
        (
            "05:00",
            ("04:00 to-fridge",),
            "HK47M is thawing; not before 2026-02-03T06:10:00-06:00",
        ),
        ("06:40", THAWED, "HK47M is warming; not before 2026-02-03T06:45:00-06:00"),
    ],
)
def test_a_vial_that_is_not_ready_is_not_opened_and_the_time_is_said(time, facts, says):
    (stop,) = opening(time, *facts)

    assert (stop.level, stop.code, stop.item, stop.says) == (
        Level.STOP,
        "not-ready",
        "T1",
        says,
    )


def test_an_open_vial_is_not_opened_again():
    assert codes(opening("08:00", *OPEN)) == ["open-already"]


@pytest.mark.parametrize(
    ("time", "facts", "found"),
    [
        ("07:00", (*THAWED, "06:50 hold"), ["held"]),
        ("16:35", THAWED, ["past-use-by"]),
        ("12:00", OPEN, ["open-already", "past-use-by"]),
        ("07:00", (*THAWED, "06:50 discard"), ["vial-discarded"]),
        ("07:00", ("05:00 arrive as=chilled", "05:30 release"), ["use-by-not-known"]),
    ],
)
def test_what_may_not_be_used_is_not_opened(time, facts, found):
    assert codes(opening(time, *facts)) == found


def test_doses_are_drawn_from_an_open_vial():
    assert drawing(8, *OPEN) == []


def test_a_closed_vial_is_opened_first():
    (stop,) = drawing(1, *THAWED)

    assert (stop.code, stop.says) == ("not-open", "HK47M is ready; open it first")


@pytest.mark.parametrize(
    ("time", "facts", "found"),
    [
        ("12:00", OPEN, ["past-use-by"]),
        ("08:00", (*OPEN, "07:30 hold"), ["held"]),
        ("08:00", (*OPEN, "07:30 discard"), ["vial-discarded"]),
        (
            "08:00",
            ("05:00 arrive as=chilled", "05:30 release", "07:00 open"),
            ["use-by-not-known"],
        ),
    ],
)
def test_nothing_is_drawn_from_what_may_not_be_used(time, facts, found):
    assert codes(drawing(1, *facts, time=time)) == found


@pytest.mark.parametrize(
    ("doses", "left", "drawn", "found"),
    [
        (8, 8, 0, []),
        (9, 8, 0, ["extra-dose"]),
        (10, 8, 0, ["too-many-doses"]),
        (1, 0, 8, ["extra-dose"]),
        (1, -1, 9, ["too-many-doses"]),
        (3, 2, 4, ["extra-dose"]),
    ],
)
def test_doses_beyond_the_book_are_said_and_beyond_the_most_are_stopped(
    doses, left, drawn, found
):
    assert codes(drawing(doses, *OPEN, left=left, drawn=drawn)) == found


def test_an_extra_dose_says_by_how_many_the_book_is_exceeded():
    (check,) = drawing(3, *OPEN, left=2, drawn=4)

    assert check.says == "1 more than the book holds in HK47M: an extra dose"
    assert check.level is Level.CHECK


@pytest.mark.parametrize(("doses", "found"), [(3, []), (4, ["too-many-punctures"])])
def test_the_needle_goes_in_no_more_often_than_the_protocol_says(doses, found):
    assert codes(drawing(doses, *OPEN, rules=PUNCTURES)) == found


def test_the_vial_whose_time_ends_first_is_used_first():
    soon, later = asked("08:00", *OPEN), asked("08:00", *THAWED)
    label = date(2026, 8, 31)

    assert next_ones([("LATER", later, label), ("SOON1", soon, label)]) == ["SOON1", "LATER"]


def test_of_equal_use_by_the_earlier_label_comes_first_and_an_unknown_label_last():
    ready = asked("08:00", *THAWED)
    labels = {"HK47M": date(2026, 9, 30), "CM62T": date(2026, 8, 31), "RA93P": None}

    found = next_ones([(code, ready, label) for code, label in labels.items()])

    assert found == ["CM62T", "HK47M", "RA93P"]


def test_what_is_held_or_past_is_never_next():
    held = asked("08:00", *OPEN, "07:30 hold")
    past = asked("12:00", *OPEN)

    assert next_ones([("HK47M", held, None), ("CM62T", past, None)]) == []
