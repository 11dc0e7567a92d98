"""Vials: every vial by the end of its clock, alike ones together; and a code that finds one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from difflib import get_close_matches
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from thawline.app.standings import Stood, is_here
from thawline.draw.sheet import PHONE, TABLET, Sheet
from thawline.draw.strips import HEIGHT, Strip, strips_svg
from thawline.vial.syringes import SYRINGE
from thawline.web.around import Around, around
from thawline.web.batches import Batch, batches
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.standing_vials import end_of
from thawline.web.stations.vial_rows import rows_for, rows_of, sealed_of
from thawline.web.strips import strip_of, was_opened

_SHOWN = 60
_DRAWN_FOR = timedelta(seconds=10)
"""For so long the same strip is drawn once; one that ends in it is past from its beginning."""
_NEAR = 3
_MAY_CARRY = "handle-vial"


@dataclass(frozen=True, slots=True)
class SortedOut:
    """
    The vials of a list.

    Args:
        batches: By their use-by, alike ones together.
        count: How many vials there are in them.
        lots: Of all vials that are here, to choose from.
        states: Likewise.
        strips: The open ones as a picture; empty: none is open.
        strips_phone: The same for a narrow screen.
    """

    batches: list[Batch]
    count: int
    lots: tuple[str, ...]
    states: tuple[str, ...]
    strips: str
    strips_phone: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the vials that are not done with, or go to the one whose code was scanned."""
    lot, state = request.GET.get("lot", ""), request.GET.get("state", "")
    scanned = request.GET.get("code", "").strip().upper()
    with around(request) as round_:
        vial = _vial_of(round_, scanned)
        if vial:
            return HttpResponseRedirect(f"/vial/{vial}")
        may_carry = round_.who.may(_MAY_CARRY)
        listed = _listed(round_, request.path, lot, state, may_carry=may_carry)
        told = {
            **listed,
            "rows": rows_for(request, round_.who.station, listed["rows"]),
            "sealed": rows_for(request, round_.who.station, listed["sealed"]),
            "lot": lot,
            "state": state,
            "scanned": scanned,
            "near": _near(round_, scanned),
            "may_carry": may_carry,
        }
        return page(request, round_, "vials", told)


def _listed(
    round_: Around, path: str, lot: str, state: str, *, may_carry: bool
) -> dict[str, Any]:
    """Return the list and its picture; the whole list is made once a second for lookers."""

    def ask() -> dict[str, Any]:
        found = sorted_out(round_, lot, state) if lot or state else all_sorted_out(round_)
        return {
            "rows": rows_of(round_, found.batches[:_SHOWN], path, may_carry=may_carry),
            "more": sum(len(each.vials) for each in found.batches[_SHOWN:]),
            "count": found.count,
            "sealed": sealed_of(round_, path) if may_carry else "",
            "here_lots": found.lots,
            "states": found.states,
            "strips": found.strips,
            "strips_phone": found.strips_phone,
        }

    if lot or state:
        return ask()
    return round_.once_a_second(
        f"vials {may_carry} {round_.language}", ask, round_.rules.ref, path
    )


def all_sorted_out(round_: Around) -> SortedOut:
    """Return every vial that is here; once a second for lookers, whatever they may do."""
    return round_.once_a_second(
        "vials sorted out", lambda: sorted_out(round_, "", ""), round_.rules.ref
    )


def sorted_out(round_: Around, lot: str, state: str) -> SortedOut:
    """Return the vials of a lot and in a state, each empty for all, with their picture."""
    here = [each for each in round_.stands if is_here(each)]
    found = [
        each
        for each in here
        if lot in {"", each.vial.lot} and state in {"", each.reckoning.state.value}
    ]
    opened = _opened(found)
    return SortedOut(
        batches=list(batches(round_, found)),
        count=len(found),
        lots=tuple(sorted({each.vial.lot for each in here})),
        states=tuple(sorted(each.value for each in {each.reckoning.state for each in here})),
        strips=picture(round_, opened),
        strips_phone=picture(round_, opened, PHONE),
    )


def _vial_of(round_: Around, code: str) -> str:
    """Return the vial that a code is of, or that a syringe's code was drawn from."""
    if not code:
        return ""
    if any(each.code == code for each in round_.stands):
        return code
    syringe = round_.view.one(SYRINGE, code)
    return (syringe.vial or "") if syringe else ""


def _near(round_: Around, code: str) -> Sequence[str]:
    if not code:
        return ()
    return get_close_matches(code, [each.code for each in round_.stands], _NEAR)


def _opened(found: Sequence[Stood]) -> list[Strip]:
    opened = [each for each in found if was_opened(each) and each.vial.left > 0]
    return [strip_of(each) for each in sorted(opened, key=_end)]


def _end(each: Stood) -> str:
    return str(each.reckoning.use_by)


def picture(round_: Around, strips: list[Strip], sheet: Sheet = TABLET) -> str:
    """Return open vials as strips; nothing where none is open."""
    if not strips:
        return ""
    return strips_svg(strips, end_of(_DRAWN_FOR, round_.at), round_.zone, HEIGHT, sheet)


SCREENS = (Screen("vials", "Vials", "see-vials", show, sums=True),)
