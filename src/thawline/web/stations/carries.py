"""Carries: what goes where, who goes, and which stations have not confirmed a hold."""

from django.http import HttpRequest, HttpResponse

from thawline.app.acts import Doing, Outcome
from thawline.app.carries import carries, hand_over, take
from thawline.app.ports import Site
from thawline.web.acts import Form, PageAct
from thawline.web.around import around
from thawline.web.holds_seen import unshown
from thawline.web.pages import page
from thawline.web.screens import Screen


class OnCarry(Form, frozen=True):
    """One thing to be carried, as the page names it."""

    carry: str


def show(request: HttpRequest) -> HttpResponse:
    """Return everything that is to be carried now."""
    with around(request) as round_:
        drawn = round_.lying
        found = carries(round_.site, round_.view, round_.stands, drawn, round_.at)
        own = [each for each in found if each.state.by == round_.who.name]
        free = [each for each in found if each.state.by is None]
        rest = [each for each in found if each not in own and each not in free]
        told = {
            "carries": [*own, *free, *rest],
            "first": next(iter([*own, *free]), None),
            "unconfirmed": [each for each in found if each.held],
            "unshown": unshown(round_.view, round_.at),
        }
        return page(request, round_, "carries", told)


def _take(site: Site, doing: Doing, form: OnCarry) -> Outcome:
    return take(site, doing, form.carry)


def _hand_over(site: Site, doing: Doing, form: OnCarry) -> Outcome:
    return hand_over(site, doing, form.carry)


ACTS = (
    PageAct(
        "take-carry",
        "carry",
        OnCarry,
        _take,
        lambda form, _: f"you go: {_named(form)}",
    ),
    PageAct(
        "carry-done",
        "carry",
        OnCarry,
        _hand_over,
        lambda form, _: f"handed over: {_named(form)}",
    ),
)


def _named(form: OnCarry) -> str:
    """Return a carry in short, as the line of undo says it."""
    _, thing, *place = form.carry.split("|")
    return ", ".join([thing, *place[:1]]) if len(place) > 1 else thing


SCREENS = (Screen("carries", "Carries", "carry", show),)
