"""Vials: every vial, by the end of its clock; and the page of one."""

from django.http import HttpRequest, HttpResponse

from thawline.app.standings import Stood, stood
from thawline.draw.strips import Strip, strips_svg
from thawline.vial.reckon import State
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.strips import strip_of

_SHOWN = 200
_LATER = "9999"


def show(request: HttpRequest) -> HttpResponse:
    """Return the vials that are not done with, earliest use-by first."""
    lot, state = request.GET.get("lot", ""), request.GET.get("state", "")
    with around(request) as round_:
        here = [each for each in round_.stands if _is_here(each)]
        found = [
            each
            for each in here
            if lot in {"", each.vial.lot} and state in {"", each.reckoning.state.value}
        ]
        found.sort(key=lambda each: (str(each.reckoning.use_by or _LATER), each.code))
        opened = [each for each in found if each.reckoning.state is State.OPEN]
        told = {
            "stands": found[:_SHOWN],
            "more": max(0, len(found) - _SHOWN),
            "lots": sorted({each.vial.lot for each in here}),
            "states": sorted({each.reckoning.state.value for each in here}),
            "lot": lot,
            "state": state,
            "strips": _picture(round_, [strip_of(each) for each in opened]),
        }
        return page(request, round_, "vials", told)


def show_one(request: HttpRequest, code: str) -> HttpResponse:
    """Return one vial's life."""
    with around(request) as round_:
        found = stood(round_.view, round_.rules, code.upper(), round_.at)
        opened = [strip_of(found)] if found.reckoning.state is State.OPEN else []
        told = {"vial": found, "strips": _picture(round_, opened)}
        return page(request, round_, "vial", told)


def _is_here(each: Stood) -> bool:
    return each.reckoning.state is not State.DISCARDED and each.vial.sent_to is None


def _picture(round_: Around, strips: list[Strip]) -> str:
    return strips_svg(strips, round_.at, round_.zone) if strips else ""


SCREENS = (
    Screen("vials", "Vials", "see-vials", show),
    Screen("vial", "Vial", "see-vials", show_one, takes="code"),
)
