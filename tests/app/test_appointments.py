"""Who is reminded of a place for the second dose. Invented; Tuesday 3 February 2026."""

from datetime import date

import pytest
from tests.app.chairs import MARSH, card
from tests.cast import _FIGURES, SMALL, a_day, at

from thawline.app.acts import act
from thawline.app.appointments import appointment_of, appointments_on
from thawline.base.errors import NotFoundError
from thawline.base.instants import exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseGiven, PersonBooked
from thawline.rules.reading import read_protocol

REPEATED = 'late_after = "P42D"\nrepeat_when_too_early = true\nrepeat_after = "P28D"'
PLACE_DAY = date(2026, 3, 4)


def _record(day, event, when):
    doing = day.doing(occurred=exactly(when))
    act(day.site, doing, {"command": "x"}, lambda _view: Decision(event), kind=Kind.FACT)


@pytest.fixture
def day():
    """Somebody with a place for the second dose on 4 March, under rules that repeat."""
    rules = SMALL.format(**_FIGURES).replace('late_after = "P42D"', REPEATED)
    day = a_day(read_protocol(rules.encode()), vials=0)
    day.now = at("12:00")
    place = PersonBooked(person=MARSH, slot_ms=to_ms(at("09:00", 4, 3)), dose_number=2)
    _record(day, place, day.now)
    return day


def _give(day, clock="09:00", number=2):
    dose = DoseGiven(person=MARSH, dose_number=number, lot="ZZ-1041", syringe=None)
    _record(day, dose, at(clock))


def _reminded(day):
    return [each.person for each in appointments_on(day.site, "Harrowmint", PLACE_DAY)]


@pytest.mark.parametrize("first", [None, "2026-01-20"], ids=["not known", "told"])
def test_who_waits_for_the_second_dose_is_reminded(day, first):
    if first is not None:
        card(day, first)

    assert _reminded(day) == [MARSH]


@pytest.mark.parametrize("first", [None, "2026-01-06"], ids=["not known", "28 days before"])
def test_who_had_the_second_dose_is_not_reminded(day, first):
    # 6 January and 28 days is 3 February (calendar).
    if first is not None:
        card(day, first)
    _give(day)

    assert _reminded(day) == []
    with pytest.raises(NotFoundError):
        appointment_of(day.site, "Harrowmint", MARSH)


def test_who_had_both_elsewhere_is_not_reminded(day):
    card(day, "2025-12-22")
    card(day, "2026-01-22")

    assert _reminded(day) == []


def test_who_is_to_have_it_again_is_reminded(day):
    card(day, "2026-01-20")
    _give(day)  # on day 14, to be repeated by this made-up rule

    assert _reminded(day) == [MARSH]
    assert appointment_of(day.site, "Harrowmint", MARSH).person == MARSH
