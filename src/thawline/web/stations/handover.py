"""Handover: one page in spoken order, printed or read aloud, and who took over."""

from django.http import HttpRequest, HttpResponse

from thawline.app.acts import Doing, Outcome
from thawline.app.handover import accept, handover
from thawline.app.ports import Site
from thawline.web.acts import Form, PageAct
from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import slab


class Accepted(Form, frozen=True):
    """Who goes; whoever presses comes."""

    handed_by: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the page of this moment."""
    with around(request) as round_:
        found = handover(round_.site, round_.view, round_.stands, round_.at)
        told = {
            "found": found,
            "slabs": [slab(each) for each in found.alerts],
            "alerts": [],
            "more_alerts": 0,
        }
        return page(request, round_, "handover", told)


def _accept(site: Site, doing: Doing, form: Accepted) -> Outcome:
    return accept(site, doing, form.handed_by)


ACTS = (
    PageAct(
        "accept-handover",
        "hand-over",
        Accepted,
        _accept,
        lambda form, _: f"taken over from {form.handed_by}",
        fact=True,
    ),
)
SCREENS = (Screen("handover", "Handover", "hand-over", show),)
