"""
Paper pack: a sheet for each station, printed before the power goes.

Two sheets hold what is known now, the others are blank. Names are printed only where somebody
who may see them asks for them, and each is noted as seen.
"""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from thawline.app import observing
from thawline.app.paper import Coming, coming_on, old_from
from thawline.app.ports import Name
from thawline.rules.plain import sentences
from thawline.rules.sentence import Sentence
from thawline.vial.reckon import State
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import may_see_names, name_of

_ROWS = 22
"""Blank lines on a sheet: what an A4 page holds at a height that a marker pen can fill."""
_KNOWN = {State.DISCARDED, State.FROZEN}
"""Vials that no station handles."""
_OF_TABLE, _OF_CHAIR, _OF_OBSERVING = "CT", "BDJ", "OE"
"""The letters of the items that each station's sheet prints."""


@dataclass(frozen=True, slots=True)
class Line:
    """Somebody with a place today, as the desk's sheet shows them."""

    coming: Coming
    name: Name | None


def show(request: HttpRequest) -> HttpResponse:
    """Return every sheet, one after another."""
    with around(request) as round_:
        vials = [each for each in round_.stands if each.reckoning.state not in _KNOWN]
        stays = [
            each
            for each in observing.waiting(round_.site, round_.at)
            if not each.may(round_.at)
        ]
        told = {
            "vials": vials,
            "old_from": old_from(vials, round_.at),
            "staying": stays,
            "rows": range(_ROWS),
            "with_names": _named(request, round_),
            "may_name": may_see_names(round_),
            "desk": _desk(request, round_),
            "of_table": _rules(round_, _OF_TABLE),
            "of_chair": _rules(round_, _OF_CHAIR),
            "of_observing": _rules(round_, _OF_OBSERVING),
            "rules": round_.rules,
        }
        return page(request, round_, "paper-pack", told)


def _named(request: HttpRequest, round_: Around) -> bool:
    return "names" in request.GET and may_see_names(round_)


def _desk(request: HttpRequest, round_: Around) -> list[Line]:
    """Return who is still to come today."""
    named = _named(request, round_)
    return [
        Line(each, name_of(round_, each.person) if named else None)
        for each in coming_on(round_.view, round_.today, round_.zone)
        if not each.came
    ]


def _rules(round_: Around, letters: str) -> list[Sentence]:
    """Return the rules of a station's items, in the protocol's order."""
    return [
        each
        for each in sentences(round_.rules.protocol)
        if each.item and each.item[0] in letters
    ]


SCREENS = (Screen("paper-pack", "Paper pack", "see-day", show, sums=True),)
