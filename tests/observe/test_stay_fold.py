"""Seated, down, up and gone: what the observation area knows of one person."""

from uuid import UUID

import pytest
from msgspec.structs import replace
from tests.cast import at
from tests.vial.entries import entry

from thawline.base.instants import to_ms
from thawline.ledger.events import DoseGiven, DoseNotGiven
from thawline.ledger.observation_events import CardNamed, MomentStamped, PersonLeft
from thawline.observe.stay_fold import STAY, Faint, Left, Seated

MARSH = "DEMO-000001"
GIVEN = DoseGiven(person=MARSH, dose_number=1, lot="ZZ-1041", screening="give-15")
LEFT = PersonLeft(person=MARSH, early=True)
UP = MomentStamped(what="up", person=MARSH)


def _down(card=""):
    return MomentStamped(what="down", person=MARSH, card=card)


def _stay(*events):
    state = None
    for minute, event in enumerate(events):
        state = STAY.step(MARSH, state, entry(event, minute))
    return state


def _ms(clock):
    return to_ms(at(clock))


@pytest.mark.parametrize("event", [GIVEN, LEFT, _down(), UP])
def test_a_dose_a_faint_and_leaving_are_about_their_person(event):
    assert STAY.keys(event) == (MARSH,)
    assert type(event) in STAY.kinds


@pytest.mark.parametrize(
    "event",
    [
        MomentStamped(what="down"),
        MomentStamped(what="up"),
        MomentStamped(what="given", person=MARSH),
        MomentStamped(what="called", person=MARSH),
        MomentStamped(what="crew", person=MARSH),
        CardNamed(card="2", person=MARSH),
        DoseNotGiven(person=MARSH, why="not-today"),
    ],
    ids=[
        "down, nobody named",
        "up, nobody named",
        "given",
        "called",
        "crew",
        "named",
        "no dose",
    ],
)
def test_a_press_without_a_name_or_for_something_else_keeps_nobody(event):
    assert STAY.keys(event) == ()


def test_a_dose_seats_the_person_with_their_screening_and_its_own_entry():
    assert _stay(GIVEN).doses == (Seated(_ms("12:00"), "give-15", str(UUID(int=1))),)


def test_a_dose_at_an_uncertain_time_counts_from_the_later_end():
    unsure = replace(entry(GIVEN, 10), lo_ms=_ms("12:00"))

    assert [dose.hi_ms for dose in STAY.step(MARSH, None, unsure).doses] == [_ms("12:10")]


def test_who_left_is_kept_with_early_or_not_and_its_own_entry():
    in_time = PersonLeft(person=MARSH)

    assert _stay(GIVEN, LEFT).left == (Left(_ms("12:01"), early=True, entry=str(UUID(int=2))),)
    assert _stay(in_time).left == (Left(_ms("12:00"), early=False, entry=str(UUID(int=1))),)


def test_only_doses_after_somebody_last_left_keep_them_here():
    stay = _stay(GIVEN, LEFT, GIVEN)

    assert [dose.hi_ms for dose in stay.doses] == [_ms("12:00"), _ms("12:02")]
    assert [dose.hi_ms for dose in stay.here] == [_ms("12:02")]
    assert _stay(GIVEN).here == _stay(GIVEN).doses
    assert _stay(GIVEN, LEFT).here == ()


def test_a_faint_begins_at_the_press_under_its_card():
    assert _stay(GIVEN, _down("2")).faints == (Faint(_ms("12:01"), "2", None),)


def test_up_again_ends_every_open_faint():
    stay = _stay(_down("1"), _down("2"), UP)

    assert [(faint.card, faint.up_ms) for faint in stay.faints] == [
        ("1", _ms("12:02")),
        ("2", _ms("12:02")),
    ]


def test_a_second_up_does_not_lengthen_a_faint_that_is_over():
    stay = _stay(_down(), UP, _down(), UP)

    assert [faint.up_ms for faint in stay.faints] == [_ms("12:01"), _ms("12:03")]


def _stamped(*presses):
    """Return the stay after presses, each with its minute after noon, in the order typed."""
    state = None
    for minute, event in presses:
        state = STAY.step(MARSH, state, entry(event, minute))
    return state


def test_an_earlier_up_that_is_typed_in_later_does_not_end_a_later_faint():
    stay = _stamped((10, _down("1")), (30, _down("2")), (15, UP))

    assert [faint.up_ms for faint in stay.faints] == [_ms("12:15"), None]


def test_an_earlier_faint_that_is_typed_in_later_ended_with_the_next_up():
    stay = _stamped((20, UP), (15, UP), (10, _down()))

    assert [faint.up_ms for faint in stay.faints] == [_ms("12:15")]


@pytest.mark.parametrize(("minute", "over"), [(9, True), (10, False), (11, False)])
def test_an_up_of_the_same_minute_or_before_does_not_end_a_faint_typed_after_it(minute, over):
    stay = _stamped((10, UP), (minute, _down()))

    assert (stay.faints[0].up_ms is not None) is over


def test_an_up_of_an_unsure_time_ends_only_what_had_begun_for_certain():
    unsure = replace(entry(UP, 20), lo_ms=_ms("12:10"))
    stay = _stamped((9, _down("1")), (15, _down("2")))

    faints = STAY.step(MARSH, stay, unsure).faints

    assert [faint.up_ms is not None for faint in faints] == [True, False]


def test_who_left_twice_is_gone_since_the_later_whatever_was_typed_last():
    stay = _stamped((0, GIVEN), (20, LEFT), (10, GIVEN), (5, LEFT))

    assert stay.here == ()
