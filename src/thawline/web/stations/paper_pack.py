"""
Paper pack: a sheet for each station, printed before the power goes.

Two sheets hold what is known now, the others are blank. Names are printed only where somebody
who may see them asks for them, and each is noted as seen.
"""

from django.http import HttpRequest, HttpResponse

from thawline.app import observing
from thawline.app.call_sheet import not_come
from thawline.app.ports import Name
from thawline.app.standings import is_here, next_turn
from thawline.person.fold import Booking
from thawline.rules.plain import sentences
from thawline.rules.sentence import Sentence
from thawline.vial.reckon import State
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import may_see_names, name_of

_ROWS = 22
"""Blank lines on a sheet: what an A4 page holds at a height that a marker pen can fill."""
_OF_TABLE, _OF_CHAIR, _OF_OBSERVING = "CT", "BDJ", "OE"
"""The letters of the items that each station's sheet prints."""


def show(request: HttpRequest) -> HttpResponse:
    """Return every sheet, one after another."""
    with around(request) as round_:
        vials = [
            each
            for each in round_.stands
            if is_here(each) and each.reckoning.state is not State.FROZEN
        ]
        stays = [
            each
            for each in observing.waiting_in(round_.site, round_.view, round_.at)
            if not each.may(round_.at)
        ]
        told = {
            "vials": vials,
            "old_from": next_turn(vials, round_.at),
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


def _desk(request: HttpRequest, round_: Around) -> list[tuple[str, Booking, Name | None]]:
    """Return who is still to come today: their code, their place, the name where asked for."""
    named = _named(request, round_)
    return [
        (person, place, name_of(round_, person) if named else None)
        for person, place in not_come(round_.site, round_.view, round_.today)
    ]


def _rules(round_: Around, letters: str) -> list[Sentence]:
    """Return the rules of a station's items, in the protocol's order."""
    return [
        each
        for each in sentences(round_.rules.protocol)
        if each.item and each.item[0] in letters
    ]


SCREENS = (Screen("paper-pack", "Paper pack", "see-day", show, sums=True),)
