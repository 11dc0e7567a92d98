"""Draw table: one vial, one big button."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from django.http import HttpRequest, HttpResponse
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from thawline.account.causes import CAUSES, Cause, Wastage
from thawline.app.standings import Stood
from thawline.draw.sheet import PHONE, TABLET, Sheet
from thawline.draw.strips import strips_svg
from thawline.rules.protocol import Protocol
from thawline.rules.spoken import spoken
from thawline.web.around import Around, around
from thawline.web.languages.chosen import told
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import slab
from thawline.web.strips import strip_of
from thawline.web.tables import at_table

TALL = 70.0
"""The height of a strip at the draw table, in pixels."""
_AT_A_DRAW = ("product.dose_volume_ml",)
_AT_A_DRAW_CAUSES = ("spilled", "technique", "contaminated", "broken-open")
"""Causes for one dose while it is drawn, one press each; a needle-stick has its own press."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step before a draw, with the items of the protocol that it says."""

    says: str
    items: tuple[str, ...] = ()


def show(request: HttpRequest) -> HttpResponse:
    """Return the vial to draw from next, or the one to open."""
    with around(request) as round_:
        table = at_table(round_, round_.who.station, round_.who.name)
        drawing = table.drawing
        told = {
            "table": table,
            "strips": _tall(round_, drawing, TABLET),
            "strips_phone": _tall(round_, drawing, PHONE),
            "steps": list(steps(round_.rules.protocol)),
            "causes": at_a_draw(),
            "options": options_of_open_vials(round_.language),
            "mixed": [slab(each) for each in table.findings],
        }
        return page(request, round_, "draw-table", told)


def _tall(round_: Around, drawing: Stood | None, sheet: Sheet) -> str:
    if drawing is None:
        return ""
    return strips_svg([strip_of(drawing)], round_.at, round_.zone, TALL, sheet)


def steps(protocol: Protocol) -> Iterator[Step]:
    """Yield what to look at before each draw: in the protocol's own words, where it has any."""
    volume, doses = protocol.product.dose_volume_ml, protocol.product.doses_per_vial
    taught = [each for each in protocol.lesson if {*_AT_A_DRAW} & {*each.about}]
    for each in taught:
        yield Step(
            spoken(protocol, each.says),
            tuple(item for item in (volume.item, doses.item) if item),
        )
    if not taught:
        yield Step("Swirl gently. Do not shake. Never put rests of two vials together.")
        yield Step(f"Draw {volume.value} mL.", tuple(item for item in (volume.item,) if item))
    yield Step("Look at the vial: no particles, no odd color. No air bubble in the syringe.")


def at_a_draw() -> list[Cause]:
    """Return the causes for which a dose is wasted while it is drawn."""
    return [CAUSES[name] for name in _AT_A_DRAW_CAUSES]


def of_open_vials() -> list[Cause]:
    """Return every cause of open-vial waste."""
    return [cause for cause in CAUSES.values() if cause.kind is Wastage.OPEN]


@cache
def options_of_open_vials(language: str) -> SafeString:
    """Return these causes as the choices of a list; they are the same for every syringe."""
    return format_html_join(
        "",
        '<option value="{}">{}</option>',
        ((cause.name, told(cause.says, language)) for cause in of_open_vials()),
    )


SCREENS = (Screen("draw-table", "Draw table", "handle-vial", show),)
