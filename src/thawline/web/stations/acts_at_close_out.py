"""What is pressed at the close-out: a count, doses not found, and the two signatures."""

from datetime import date

from thawline.account.fold import ACCOUNT, parts_of
from thawline.account.postings import STOCK, SYRINGE, VIAL
from thawline.adapters.missing_dose import weights
from thawline.app import closing
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError, RefusedError
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_date
from thawline.ledger.entries import View
from thawline.vial.folds import VIAL as VIALS
from thawline.vial.syringes import SYRINGE as SYRINGES
from thawline.web.acts import Form, PageAct
from thawline.web.gaps import gaps
from thawline.web.stations.acts_at_table import doses

_GAP = "entries-missing"


class Count(Form, frozen=True):
    """Doses that lie somewhere: a unit with its lot, or the code of a vial or a syringe."""

    place: str
    doses: int
    lot: str = ""


class NotFound(Form, frozen=True):
    """Doses that two people looked for."""

    place: str
    doses: int
    lot: str = ""


class Day(Form, frozen=True):
    """The day that is signed; and the tablets, by name, whose entries are missing in it."""

    day: str
    without: str = ""


def _count(site: Site, doing: Doing, form: Count) -> Outcome:
    place, lot = _meant(site, form.place, form.lot)
    return closing.count(site, doing, place, lot, form.doses)


def _not_found(site: Site, doing: Doing, form: NotFound) -> Outcome:
    place, lot = _meant(site, form.place, form.lot)
    return closing.not_found(site, doing, place, lot, form.doses)


def _sign(site: Site, doing: Doing, form: Day) -> Outcome:
    """Sign; where a tablet has not sent everything, only by naming it: the entry keeps that."""
    owed = gaps()
    named = {each.strip().casefold() for each in form.without.split(",")}
    if unnamed := [each for each in owed if each.name.casefold() not in named]:
        raise RefusedError(
            [Finding(Level.STOP, _GAP, each.asks) for each in unnamed],
            advice="fetch the tablet, or both name it",
        )
    left_out = [Finding(Level.CHECK, _GAP, each.says) for each in owed]
    return closing.sign(site, doing, read_date(form.day), weights(), left_out)


def _meant(site: Site, typed: str, lot: str) -> tuple[str, str]:
    """
    Return the account that a scanned code or a unit's name means, and the lot in it.

    Raises:
        RecordError: A unit holds several lots and none is said.
    """
    named = typed.strip().removeprefix(f"{STOCK}:")
    with site.ledger.view() as view:
        of_code = _of_code(view, named.upper())
        if of_code is not None:
            return of_code
        lots = [known for place, known in _accounts(view) if place == f"{STOCK}:{named}"]
    if not lot and len(lots) != 1:
        raise RecordError(
            f"which lot in {named}: {', '.join(lots) or 'none is there by the book'}",
            advice="enter the lot as printed",
        )
    return f"{STOCK}:{named}", lot or lots[0]


def _of_code(view: View, code: str) -> tuple[str, str] | None:
    syringe, vial = view.one(SYRINGES, code), view.one(VIALS, code)
    if syringe is not None:
        return f"{SYRINGE}:{code}", syringe.lot
    return None if vial is None else (f"{VIAL}:{code}", vial.lot)


def _accounts(view: View) -> list[tuple[str, str]]:
    return [parts_of(key) for key, _ in view.all(ACCOUNT)]


def _closed(form: Day, _outcome: Outcome) -> str:
    return f"{date.fromisoformat(form.day):%a %d %b} closed and signed by two people"


ACTS = (
    PageAct(
        "count",
        "count",
        Count,
        _count,
        lambda form, _: f"{form.place}: {doses(form.doses)} counted",
        fact=True,
    ),
    PageAct(
        "not-found",
        "close-out",
        NotFound,
        _not_found,
        lambda form, _: f"{form.place}: {doses(form.doses)} recorded as not found",
        undone=False,
    ),
    PageAct("sign-close-out", "close-out", Day, _sign, _closed, undone=False),
)
