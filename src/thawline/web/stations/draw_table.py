"""Draw table: one vial, one big button."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from thawline.app.standings import Stood, if_opened
from thawline.base.instants import Instant
from thawline.draw.strips import strips_svg
from thawline.ledger.entries import View
from thawline.prepare.opening import next_ones
from thawline.vial.expiry import read_expiry
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.strips import strip_of

TALL = 70.0
"""The height of a strip at the draw table, in pixels."""
_NEXT_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Table:
    """What one table sees: the vial to draw from, what may be opened next, what is warming."""

    drawing: Stood | None
    opening: Stood | None
    opens_until: Instant | None
    others: tuple[Stood, ...]
    lying: int


def show(request: HttpRequest) -> HttpResponse:
    """Return the vial to draw from next, or the one to open."""
    with around(request) as round_:
        table = at_table(round_, round_.who.station)
        strips = (
            strips_svg([strip_of(table.drawing)], round_.at, round_.zone, TALL)
            if table.drawing
            else ""
        )
        product = round_.rules.protocol.product
        told = {"table": table, "strips": strips, "product": product}
        return page(request, round_, "draw-table", told)


def at_table(round_: Around, station: str) -> Table:
    """Return what a table draws from: its own vials where it has a name, else all."""
    near = [each for each in round_.stands if station in {"", each.vial.station}]
    opened = _in_turn(each for each in near if each.reckoning.state is State.OPEN)
    usable = [each for each in opened if each.reckoning.usable and each.vial.left > 0]
    ready = _in_turn(each for each in near if each.reckoning.may_be_opened(round_.at))
    warming = [each for each in near if each.reckoning.state is State.WARMING]
    opening = ready[0] if ready else None
    return Table(
        drawing=usable[0] if usable else None,
        opening=opening,
        opens_until=_would_end(round_, opening),
        others=tuple([*usable[1:], *ready, *warming][:_NEXT_SHOWN]),
        lying=_lying(round_.view, station),
    )


def _in_turn(found: Iterable[Stood]) -> list[Stood]:
    """Return the usable vials, the one to use first at the front."""
    by_code = {each.code: each for each in found}
    turn = next_ones(
        (code, each.reckoning, read_expiry(each.vial.expiry) if each.vial.expiry else None)
        for code, each in by_code.items()
    )
    return [by_code[code] for code in turn]


def _would_end(round_: Around, each: Stood | None) -> Instant | None:
    """Return the use-by that opening a vial now would give it."""
    if each is None:
        return None
    return if_opened(round_.view, round_.rules, each, round_.at).use_by


def _lying(view: View, station: str) -> int:
    return sum(
        syringe.became == "drawn" and station in {"", syringe.station}
        for _, syringe in view.all(SYRINGE)
    )


SCREENS = (Screen("draw-table", "Draw table", "handle-vial", show),)
