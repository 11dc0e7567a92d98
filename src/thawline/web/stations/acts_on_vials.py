"""What is pressed on vials elsewhere: carry, waste, discard."""

from thawline.app import vials
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.web.acts import Form, PageAct
from thawline.web.stations.acts_at_table import OnVial, doses


class Waste(Form, frozen=True):
    """Doses of a vial that nobody will get."""

    vial: str
    cause: str
    doses: int = 1


class Discard(Form, frozen=True):
    """The end of a vial."""

    vial: str
    cause: str


def _waste(site: Site, doing: Doing, form: Waste) -> Outcome:
    return vials.waste(site, doing, f"vial:{form.vial.upper()}", form.doses, form.cause)


def _discard(site: Site, doing: Doing, form: Discard) -> Outcome:
    return vials.discard(site, doing, form.vial.upper(), form.cause)


def _to_table(site: Site, doing: Doing, form: OnVial) -> Outcome:
    return vials.move(site, doing, [form.vial.upper()], "table")


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
        OnVial,
        _to_table,
        lambda form, _: f"{form.vial.upper()} to the table",
    ),
)
