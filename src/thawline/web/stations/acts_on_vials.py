"""What is pressed on vials elsewhere: carry, take out, waste, discard, release."""

from dataclasses import replace

from thawline.app import holds, vials
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.ledger.events import VialMoved
from thawline.web.acts import Form, PageAct
from thawline.web.stations.acts_at_table import doses

_PLACES = ("fridge", "table")


class Waste(Form, frozen=True):
    """Doses of a vial that nobody will get."""

    vial: str
    cause: str
    doses: int = 1


class Discard(Form, frozen=True):
    """The end of a vial."""

    vial: str
    cause: str


class Carry(Form, frozen=True):
    """Vials that go somewhere: their codes, and how many of them, 0 for all."""

    vials: str
    count: int = 0
    station: str = ""

    @property
    def codes(self) -> list[str]:
        """Return the codes of those that go."""
        named = self.vials.upper().replace(",", " ").split()
        if not 0 <= self.count <= len(named):
            raise RecordError(f"{self.count} vials of {len(named)}", advice="count them again")
        return named[: self.count or None]


class TakeOut(Form, frozen=True):
    """Vials out of a sealed carton."""

    unit: str
    lot: str
    to: str
    count: int


class Release(Form, frozen=True):
    """The end of a hold: who was called and what they said."""

    vial: str
    called: str
    answer: str
    case: str = ""


def _waste(site: Site, doing: Doing, form: Waste) -> Outcome:
    return vials.waste(site, doing, f"vial:{form.vial.upper()}", form.doses, form.cause)


def _discard(site: Site, doing: Doing, form: Discard) -> Outcome:
    return vials.discard(site, doing, form.vial.upper(), form.cause)


def _to_table(site: Site, doing: Doing, form: Carry) -> Outcome:
    there = replace(doing, station=form.station or doing.station)
    return vials.move(site, there, form.codes, "table")


def _to_fridge(site: Site, doing: Doing, form: Carry) -> Outcome:
    return vials.move(site, doing, form.codes, "fridge")


def _take_out(site: Site, doing: Doing, form: TakeOut) -> Outcome:
    if form.to not in _PLACES:
        raise RecordError(f"vials go to no {form.to!r}", advice=f"one of {', '.join(_PLACES)}")
    return vials.take_out(site, doing, form.lot, form.unit, form.count, form.to)


def _release(site: Site, doing: Doing, form: Release) -> Outcome:
    asked = holds.Asked(form.called, form.answer, form.case)
    return holds.release(site, doing, [form.vial.upper()], asked)


def _taken(form: TakeOut, outcome: Outcome) -> str:
    moved = outcome.event
    codes = ", ".join(moved.vials) if isinstance(moved, VialMoved) else ""
    return f"{form.count} of lot {form.lot} to the {form.to}. Write the flags: {codes}"


ACTS = (
    PageAct(
        "waste-dose",
        "waste",
        Waste,
        _waste,
        lambda form, _: f"{doses(form.doses)} of {form.vial.upper()} wasted: {form.cause}",
    ),
    PageAct(
        "discard-vial",
        "waste",
        Discard,
        _discard,
        lambda form, _: f"{form.vial.upper()} discarded: {form.cause}",
    ),
    PageAct(
        "to-table",
        "handle-vial",
        Carry,
        _to_table,
        lambda form, _: f"{', '.join(form.codes)} to the table: room time runs",
    ),
    PageAct(
        "to-fridge",
        "handle-vial",
        Carry,
        _to_fridge,
        lambda form, _: f"{', '.join(form.codes)} to the fridge",
    ),
    PageAct("take-out", "handle-vial", TakeOut, _take_out, _taken),
    PageAct(
        "release-vial",
        "release",
        Release,
        _release,
        lambda form, _: f"{form.vial.upper()} released by two people",
        undone=False,
    ),
)
