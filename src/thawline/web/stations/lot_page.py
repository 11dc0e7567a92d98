"""Lot page: everything of one lot here, held or released in one act; who had a dose of it."""

from collections import Counter
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from thawline.app import holds
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Name, Site
from thawline.base.instants import Instant
from thawline.vial.facts import fact_of
from thawline.vial.folds import CARTON, LOT
from thawline.vial.leaving import holds as held_by
from thawline.web.acts import Form, PageAct
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.rights import Way
from thawline.web.screens import Screen


class OnLot(Form, frozen=True):
    """One lot as printed, and the number of the notice."""

    lot: str
    notice: str = ""


@dataclass(frozen=True, slots=True)
class HadOne:
    """Somebody who had a dose; the name only where the reader may see it."""

    person: str
    at: Instant
    dose_number: int
    vial: str | None
    name: Name | None


def show(request: HttpRequest, lot: str) -> HttpResponse:
    """Return everything of a lot that is or was here."""
    with around(request) as round_:
        sees = round_.who.way("see-identity") is Way.ALLOWED
        had = holds.people_of_lot(round_.site, lot)
        here = [each for each in round_.stands if each.vial.lot == lot]
        state = round_.view.one(LOT, lot)
        drawn = round_.lying
        told = {
            "lot": lot,
            "held": bool(state and held_by([fact_of(row) for row in state.rows], {})),
            "states": sorted(Counter(each.reckoning.state.value for each in here).items()),
            "sealed": _sealed(round_, lot),
            "out": [each for each in drawn if each.lot == lot],
            "had": [
                HadOne(e.person, e.given_at, e.dose_number, e.vial, e.name if sees else None)
                for e in had
            ],
            "sees": sees,
            "may": {each: round_.who.may(each) for each in ("hold", "release")},
        }
        return page(request, round_, "lot", told)


def _sealed(round_: Around, lot: str) -> list[tuple[str, int]]:
    cartons = (state for _, state in round_.view.all(CARTON) if state.lot == lot)
    return [(state.unit, state.vials) for state in cartons if state.vials]


def _hold(site: Site, doing: Doing, form: OnLot) -> Outcome:
    return holds.hold_lot(site, doing, form.lot, form.notice)[0]


def _release(site: Site, doing: Doing, form: OnLot) -> Outcome:
    return holds.release_lot(site, doing, form.lot, form.notice)


ACTS = (
    PageAct(
        "hold-lot",
        "hold",
        OnLot,
        _hold,
        lambda form, _: f"lot {form.lot} held: cartons, vials and every drawn syringe",
        undone=False,
    ),
    PageAct(
        "release-lot",
        "release",
        OnLot,
        _release,
        lambda form, _: f"lot {form.lot} released by two people",
        undone=False,
    ),
)
SCREENS = (Screen("lot", "Lot", "see-vials", show, takes="lot"),)
