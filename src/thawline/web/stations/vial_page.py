"""Vial page: one vial's life, its clocks, its syringes and where they went; hold, release."""

import re

from django.http import HttpRequest, HttpResponse

from thawline.account.causes import CAUSES, Wastage
from thawline.app.standings import Stood, stood
from thawline.app.vial_life import Life, life
from thawline.base.instants import Instant
from thawline.draw.life import Lived, Span, life_svg
from thawline.draw.sheet import PHONE
from thawline.ledger.entries import Entry
from thawline.vial.facts import was_opened
from thawline.vial.reckon import State
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import slab
from thawline.web.stations.vials import picture
from thawline.web.strips import strip_of
from thawline.web.words import when


def show(request: HttpRequest, code: str) -> HttpResponse:
    """Return one vial's life."""
    with around(request) as round_:
        found = stood(round_.view, round_.rules, code.upper(), round_.at)
        lived = life(round_.view, round_.rules, found, round_.at)
        strips = [strip_of(found)] if found.reckoning.state is State.OPEN else []
        told = {
            "vial": found,
            "life": life_svg(_lived(round_, found, lived)),
            "life_phone": life_svg(_lived(round_, found, lived), PHONE),
            "syringes": lived.syringes,
            "entries": [(each, in_words(each)) for each in reversed(lived.entries)],
            "against": [slab(each) for each in found.reckoning.findings],
            "wasted": sum(each.doses for each in found.vial.wastes),
            "causes": [cause for cause in CAUSES.values() if _fits(found, cause.kind)],
            "open_causes": [one for one in CAUSES.values() if one.kind is Wastage.OPEN],
            "may": {each: round_.who.may(each) for each in ("hold", "release", "waste")},
            "done": found.reckoning.state is State.DISCARDED,
            "held": found.reckoning.state is State.HELD,
            "strips": picture(round_, strips),
            "strips_phone": picture(round_, strips, PHONE),
        }
        return page(request, round_, "vial", told)


def _lived(round_: Around, found: Stood, lived: Life) -> Lived:
    return Lived(
        code=found.code,
        spans=[
            Span(
                stage.state.value,
                when(stage.since, (round_.zone, round_.today)),
                stage.since,
                _until(stage.until, round_.at),
            )
            for stage in lived.stages
        ],
        doses=found.vial.doses,
        draws=lived.draws,
    )


def _until(ended: Instant | None, now: Instant) -> Instant:
    return now if ended is None else ended


def in_words(entry: Entry) -> str:
    """Return what an entry records, in a few words: "Vial moved"."""
    plain = re.sub(r"(?<!^)(?=[A-Z])", " ", type(entry.event).__name__).capitalize()
    return plain.replace("punctured", "opened")


def _fits(found: Stood, kind: Wastage) -> bool:
    return (kind is Wastage.OPEN) == was_opened(found.vial)


SCREENS = (Screen("vial", "Vial", "see-vials", show, takes="code"),)
