"""A small Tuesday whose stamps are written one by one; everything made up, vials of eight."""

from dataclasses import replace
from datetime import timedelta

from tests.cast import HAZEL, ROWAN, a_day, at

from thawline.app.acts import act
from thawline.app.vials import move, open_vial
from thawline.base.instants import Occurred, exactly, to_ms
from thawline.ledger.entries import Decision, Kind
from thawline.ledger.events import DoseChecked, DoseDrawn, DoseGiven, DoseNotGiven, PersonBooked
from thawline.ledger.observation_events import PersonLeft
from thawline.ledger.screening_events import ScreeningAnswered
from thawline.plan.quantile_tables import constant
from thawline.plan.replay import Example

EXAMPLE = Example(
    before_chair=timedelta(minutes=4),
    chair=constant(timedelta(seconds=150)),
    drawing=constant(timedelta(seconds=45)),
    says="the example",
    drawing_says="45 s a dose",
)


class Stamped:
    """Writes stamps of the Tuesday, each recorded as it happens or later."""

    def __init__(self, file=None, day=None, **booked) -> None:
        self.day = day or a_day(file)
        for person, clock in booked.items():
            self.book(person, clock)

    @property
    def site(self):
        """Return the site."""
        return self.day.site

    def stamp(self, event, clock, station="", late="", **more):
        """Write an event at a time; `late`: recorded only then."""
        when = exactly(at(clock))
        if "until" in more:
            when = Occurred(at(clock), at(more["until"]))
        doing = self.day.doing(late or clock, by=more.get("by", HAZEL), station=station)
        doing = replace(doing, occurred=when, recorded_at=max(doing.recorded_at, when.hi))
        kind = Kind.FACT
        act(self.site, doing, {"command": "x"}, lambda _: Decision(event), kind=kind)

    def book(self, person, clock, recorded="00:30", day=3):
        """Book a person for a time; late in the day it is a walk-up."""
        slot = to_ms(at(clock, day))
        self.stamp(PersonBooked(person=person, slot_ms=slot, dose_number=1), recorded)

    def ask(self, person, clock, outcome="give-15"):
        """Record the answers of a person."""
        self.stamp(ScreeningAnswered(person=person, outcome=outcome, answers=()), clock)

    def scan(self, person, clock, chair="chair 1"):
        """Scan a syringe for a person."""
        event = DoseChecked(person=person, syringe=None, vial=None, may=True)
        self.stamp(event, clock, chair)

    def give(self, person, clock, chair="chair 1", screening="give-15", **more):
        """Record a dose."""
        event = DoseGiven(person=person, dose_number=1, lot="ZZ-1041", screening=screening)
        self.stamp(event, clock, chair, **more)

    def send_away(self, person, clock, chair=""):
        """Record that a person left without a dose."""
        self.stamp(DoseNotGiven(person=person, why="other"), clock, chair)

    def leave(self, person, clock):
        """Record that a person left the observation area."""
        self.stamp(PersonLeft(person=person), clock)

    def draw(self, vial, numbers, clock, table="table 1"):
        """Record doses drawn from a vial."""
        syringes = tuple(f"{vial}-{n:02}" for n in numbers)
        self.stamp(DoseDrawn(vial=vial, lot="ZZ-1041", syringes=syringes), clock, table)

    def visit(self, person, screened, scanned, given, chair="chair 1"):
        """Let a person be asked, scanned and given a dose."""
        self.ask(person, screened)
        self.scan(person, scanned, chair)
        self.give(person, given, chair)

    def on_table(self, clock="06:35", count=1):
        """Thaw vials from 04:00 and bring them to the table; return their codes."""
        codes = self.day.thaw(count)
        move(self.site, self.day.doing(clock, by=ROWAN), codes, "table")
        return codes

    def open(self, vial, clock):
        """Open a vial."""
        open_vial(self.site, self.day.doing(clock), vial)
