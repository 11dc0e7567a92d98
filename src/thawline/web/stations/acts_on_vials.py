"""What is pressed at the draw table and on vials: open, draw, waste, hold, discard."""

from thawline.app import holds, vials
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.ledger.events import DoseDrawn
from thawline.web.acts import Form, PageAct


class OnVial(Form, frozen=True):
    """One vial, by the code on its flag."""

    vial: str


class Draw(Form, frozen=True):
    """Doses from an open vial."""

    vial: str
    doses: int = 1


class Waste(Form, frozen=True):
    """Doses of a vial that nobody will get."""

    vial: str
    cause: str
    doses: int = 1


class Discard(Form, frozen=True):
    """The end of a vial."""

    vial: str
    cause: str


def _open(site: Site, doing: Doing, form: OnVial) -> Outcome:
    return vials.open_vial(site, doing, form.vial.upper())


def _draw(site: Site, doing: Doing, form: Draw) -> Outcome:
    return vials.draw(site, doing, form.vial.upper(), form.doses)


def _waste(site: Site, doing: Doing, form: Waste) -> Outcome:
    return vials.waste(site, doing, f"vial:{form.vial.upper()}", form.doses, form.cause)


def _discard(site: Site, doing: Doing, form: Discard) -> Outcome:
    return vials.discard(site, doing, form.vial.upper(), form.cause)


def _hold(site: Site, doing: Doing, form: OnVial) -> Outcome:
    return holds.hold(site, doing, [form.vial.upper()])[0]


def _to_table(site: Site, doing: Doing, form: OnVial) -> Outcome:
    return vials.move(site, doing, [form.vial.upper()], "table")


def _drew(form: Draw, outcome: Outcome) -> str:
    drawn = outcome.event
    codes = ", ".join(drawn.syringes) if isinstance(drawn, DoseDrawn) else ""
    return f"{_doses(form.doses)} drawn from {form.vial.upper()}: {codes}"


def _doses(count: int) -> str:
    return "1 dose" if count == 1 else f"{count} doses"


ACTS = (
    PageAct(
        "open-vial",
        "handle-vial",
        OnVial,
        _open,
        lambda form, _: f"{form.vial.upper()} opened",
    ),
    PageAct("draw-dose", "handle-vial", Draw, _draw, _drew),
    PageAct(
        "waste-dose",
        "waste",
        Waste,
        _waste,
        lambda form, _: f"{_doses(form.doses)} of {form.vial.upper()} wasted: {form.cause}",
    ),
    PageAct(
        "discard-vial",
        "waste",
        Discard,
        _discard,
        lambda form, _: f"{form.vial.upper()} discarded: {form.cause}",
    ),
    PageAct(
        "hold-vial",
        "hold",
        OnVial,
        _hold,
        lambda form, _: f"{form.vial.upper()} held, and every syringe drawn from it",
        undone=False,
    ),
    PageAct(
        "to-table",
        "handle-vial",
        OnVial,
        _to_table,
        lambda form, _: f"{form.vial.upper()} to the table",
    ),
)
