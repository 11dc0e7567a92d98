"""People at a chair, the syringes in its tray, and what somebody says before a needle."""

from dataclasses import replace

from tests.cast import HAZEL, LOT, Day, a_day, at

from thawline.account.fold import ACCOUNT, key_of
from thawline.app.acts import act
from thawline.app.doses import check, give, question, told
from thawline.app.in_hand import Needle
from thawline.app.vials import draw
from thawline.base.findings import Level
from thawline.base.instants import Occurred, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import EarlierDoseTold, PersonBooked
from thawline.ledger.person_events import ConsentAnswered, PersonArrived

MARSH, FEN, HEATH = "DEMO-000001", "DEMO-000002", "DEMO-000003"
STRANGER = "DEMO-000404"
CHAIR = "chair 3"
DAY_28, DAY_27 = "2026-01-06", "2026-01-07"  # of a first dose, seen from 3 February 2026

CHAIR_OVERRIDES = """\
[overrides.look-alike-lot]
item = "O1"
second_person = true
source = "demo"
[overrides.not-screened]
item = "O2"
second_person = false
source = "demo"
[overrides.past-use-by]
item = "O3"
second_person = true
source = "demo"
[overrides.lot-held]
item = "O4"
second_person = true
source = "demo"
[overrides.too-early]
item = "O5"
second_person = true
source = "demo"
"""


def book(day: Day, *people: str, dose_number: int = 1, needs: str = "") -> None:
    """Give people a place on the Tuesday."""
    for person in people:
        event = PersonBooked(
            person=person, slot_ms=to_ms(at("09:00")), dose_number=dose_number, needs=needs
        )
        act(
            day.site,
            day.doing(by=HAZEL),
            {"command": "booking", "person": person},
            lambda _view, event=event: Decision(event),
            kind=Kind.FACT,
        )
        at_the_desk(day, person)


def at_the_desk(day: Day, person: str, answer: str = "yes", **met: tuple[str, ...]) -> None:
    """Let somebody be compared by name and birth date, and say yes to the dose."""
    for event in (
        PersonArrived(person=person, **{"agreed": ("name", "born"), **met}),
        ConsentAnswered(person=person, answer=answer, whose="self", edition="2026-01-15"),
    ):
        act(
            day.site,
            day.doing(by=HAZEL),
            {"command": "desk", "person": person},
            lambda _view, event=event: Decision(event),
            kind=Kind.FACT,
        )


def a_chair(file=None, doses: int = 3) -> tuple[Day, str, tuple[str, ...]]:
    """Return the Tuesday with three people booked, an open vial and its drawn syringes."""
    day = a_day(file)
    book(day, MARSH, FEN, HEATH)
    vial = day.opened()
    return (
        day,
        vial,
        draw(day.site, day.doing("07:10", station=CHAIR), vial, doses).event.syringes,
    )


def needle(person: str = MARSH, code: str = "", **more) -> Needle:
    """Return a screened person and the syringe, or the vial, in hand."""
    said = {"screened_by": "Sorrel Kettlewick", "screening": "give-15", **more}
    in_hand = {"syringe": code} if "-" in code else {"vial": code}
    return Needle(person, **{**in_hand, **said})


def asked(day: Day, hand: Needle, clock: str, station: str = ""):
    """Return the answer before the needle, with nothing recorded."""
    return question(day.site, hand, station, at(clock))


def stops(answer) -> set[str]:
    """Return the codes of an answer's stops."""
    return {each.code for each in answer.findings if each.level is Level.STOP}


def noted(day: Day, hand: Needle, clock: str, **more):
    """Check before the needle at the chair and note it."""
    return check(day.site, day.doing(clock, **{"station": CHAIR, **more}), hand)


def given(day: Day, hand: Needle, clock: str, **more):
    """Record a dose that was given at the chair."""
    return give(day.site, day.doing(clock, **{"station": CHAIR, **more}), hand)


def card(day: Day, given_on: str, person: str = MARSH):
    """Type a first dose from a person's card."""
    return told(day.site, day.doing(), EarlierDoseTold(person=person, given_on=given_on))


def left_in(day: Day, account: str, lot: str = LOT) -> int:
    """Return the doses of an account by the book."""
    return day.one(ACCOUNT, key_of(account, lot)).doses


def unscreened(hand: Needle) -> Needle:
    """Return the same with nobody having asked the questions."""
    return replace(hand, screened_by=None, screening=None)


def at_time(day: Day, lo: str, hi: str, **more):
    """Return an act that happened some time between two times of the Tuesday."""
    doing = day.doing(hi, station=CHAIR, **more)
    return replace(doing, occurred=Occurred(at(lo), at(hi)))
