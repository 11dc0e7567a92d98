"""
The script of a day: what each person at the site does, in the order of time.

A step is one act of one person. Vials are numbered in the order in which they leave the
freezer; codes are the ledger's business. Times are seconds after local midnight of the day,
below zero for the evening before.
"""

from dataclasses import dataclass

from thawline.demo.people import Person


@dataclass(frozen=True, slots=True)
class Syringe:
    """The n-th syringe drawn from a vial, counted from 1."""

    vial: int
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Somebody does something at a time, perhaps at a station."""

    at_s: int
    by: str
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOut(Step):
    """Vials of a lot leave the freezer for the fridge."""

    lot: str
    vials: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BringToTable(Step):
    """Chilled vials of one lot are carried to a draw table."""

    vials: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenVial(Step):
    """A vial is opened."""

    vial: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawDoses(Step):
    """Doses are drawn, one a syringe."""

    vial: int
    doses: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BookWalkUp(Step):
    """Somebody without a booking is registered."""

    person: Person


@dataclass(frozen=True, slots=True, kw_only=True)
class AskQuestions(Step):
    """Somebody answers the screening questions; `outcome` is what comes of it at the chair."""

    person: str
    outcome: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetPerson(Step):
    """Somebody says name and birth date at the desk."""

    person: Person


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveEarly(Step):
    """Somebody leaves the observation area before their time."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinStandby(Step):
    """Somebody puts their name on the standby list."""

    person: Person
    travel_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDose(Step):
    """A syringe is scanned for a person before the needle; `refused`: the rules will say no."""

    person: str
    syringe: Syringe
    lots: tuple[str, ...]  # that are meant to be used at this chair; empty: nobody said
    screened_by: str
    outcome: str  # of the screening
    refused: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveDose(Step):
    """A dose was given; `arm` None: nobody typed which."""

    person: str
    syringe: Syringe
    arm: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveWithout(Step):
    """A person leaves without a dose."""

    person: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteFromVial(Step):
    """A dose that never came out of a vial, or not into a syringe."""

    vial: int
    doses: int
    cause: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteSyringe(Step):
    """A drawn syringe that nobody gets."""

    syringe: Syringe
    cause: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscardVial(Step):
    """A vial's life ends."""

    vial: int
    cause: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldVial(Step):
    """A vial is held, and with it every syringe drawn from it."""

    vial: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAround(Step):
    """Somebody looks at the open vials; nothing is recorded."""


def in_order(steps: list[Step]) -> tuple[Step, ...]:
    """Return the steps by time; of the same second, as they were written down."""
    return tuple(sorted(steps, key=lambda step: step.at_s))
