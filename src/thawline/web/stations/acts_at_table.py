"""What is pressed at the draw table: open, draw, short, wasted, stuck, something wrong."""

from dataclasses import replace

from thawline.app import holds, vials
from thawline.app.acts import Doing, Outcome
from thawline.app.needle_sticks import AT_ONCE, CAUSE, stuck
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.ledger.events import DoseDrawn
from thawline.vial.folds import VIAL
from thawline.web.acts import Form, PageAct

SEEN_WRONG = "something was seen at the table; what it was is not said yet"
"""Why a vial is held in one press: nobody is asked for a reason first."""
NO_STATION = "a place that nobody said"


class OnVial(Form, frozen=True):
    """One vial, by the code on its flag."""

    vial: str


class Draw(Form, frozen=True):
    """Doses from an open vial."""

    vial: str
    doses: int = 1


class OnSyringe(Form, frozen=True):
    """One drawn syringe that nobody will get, and why."""

    syringe: str
    cause: str


def _open(site: Site, doing: Doing, form: OnVial) -> Outcome:
    return vials.open_vial(site, doing, form.vial.upper())


def _draw(site: Site, doing: Doing, form: Draw) -> Outcome:
    return vials.draw(site, doing, form.vial.upper(), form.doses)


def _short(site: Site, doing: Doing, form: OnVial) -> Outcome:
    """Record that a vial gives no more, though the book has doses in it."""
    code = form.vial.upper()
    with site.ledger.view() as view:
        vial = view.one(VIAL, code)
    if vial is None or vial.left < 1:
        raise RecordError(f"{code} holds no more dose by the book", advice="look at the code")
    return vials.waste(site, doing, f"vial:{code}", vial.left, "short-volume")


def _waste_syringe(site: Site, doing: Doing, form: OnSyringe) -> Outcome:
    return vials.waste(site, doing, f"syringe:{form.syringe.upper()}", 1, form.cause)


def _needle_stick(site: Site, doing: Doing, form: OnVial) -> Outcome:
    """Keep the private card first, then waste the dose; that needle was in nobody else."""
    code = form.vial.upper()
    stuck(site, doing, "", "no", "")
    outcome = vials.waste(site, replace(doing, why=""), f"vial:{code}", 1, CAUSE)
    told = tuple(Finding(Level.ACT, CAUSE, says) for says in AT_ONCE)
    return replace(outcome, findings=(*told, *outcome.findings))


def hold(site: Site, doing: Doing, form: OnVial) -> Outcome:
    """Hold a vial or a syringe in one press; name every station that has a syringe of it."""
    code = form.vial.upper()
    why = doing.why.strip() or SEEN_WRONG
    outcome, out = holds.hold(site, replace(doing, why=why), [code])
    if not out:
        return outcome
    where = ", ".join(
        f"{each.syringe} at {each.station or NO_STATION}"
        for each in sorted(out, key=lambda each: each.syringe)
    )
    says = (
        f"drawn syringes of {code} are held too: {where}. A runner goes until each is fetched"
    )
    return replace(
        outcome,
        findings=(*outcome.findings, Finding(Level.STOP, "held-syringes", says)),
    )


def doses(count: int) -> str:
    """Return "1 dose" or "3 doses"."""
    return "1 dose" if count == 1 else f"{count} doses"


def _drew(form: Draw, outcome: Outcome) -> str:
    drawn = outcome.event
    codes = ", ".join(drawn.syringes) if isinstance(drawn, DoseDrawn) else ""
    return f"{doses(form.doses)} drawn from {form.vial.upper()}: {codes}"


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
        "short-vial",
        "waste",
        OnVial,
        _short,
        lambda form, _: f"{form.vial.upper()} gave no more: the rest is wasted, short volume",
    ),
    PageAct(
        "needle-stick-drawing",
        "waste",
        OnVial,
        _needle_stick,
        lambda form, _: f"1 dose of {form.vial.upper()} wasted: needle-stick; a card is kept",
        undone=False,
        fact=True,
    ),
    PageAct(
        "waste-syringe",
        "waste",
        OnSyringe,
        _waste_syringe,
        lambda form, _: f"{form.syringe.upper()} wasted: {form.cause}",
    ),
    PageAct(
        "hold-vial",
        "hold",
        OnVial,
        hold,
        lambda form, _: f"{form.vial.upper()} held, and every syringe drawn from it",
        undone=False,
    ),
)
