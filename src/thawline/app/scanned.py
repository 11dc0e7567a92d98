"""What a scanned text is at this site: a vial, a syringe, a person; or what is near it."""

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum

from thawline.ledger.entries import View
from thawline.person.fold import PERSON
from thawline.vial.folds import LOT, VIAL
from thawline.vial.syringes import NEVER_DRAWN, SYRINGE

_OFFERED = 3
"""So many near codes are offered at most; a choice of ours."""
_ALIKE = 0.6
"""How alike they must be, from 0 to 1: the cut-off that Python's `difflib` has as its own."""


class Thing(StrEnum):
    """What a code can stand for."""

    VIAL = "vial"
    SYRINGE = "syringe"
    PERSON = "person"
    CARTON = "carton"
    BADGE = "badge"
    CARD = "card"


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that a text stands for."""

    thing: Thing
    code: str


def found_by_code(view: View, text: str) -> list[Found]:
    """Return everything of which the text is the code; more than one: somebody must say."""
    code = text.strip()
    flag = code.upper()
    found = []
    if view.one(VIAL, flag) is not None:
        found.append(Found(Thing.VIAL, flag))
    syringe = view.one(SYRINGE, flag)
    if syringe is not None and syringe.became != NEVER_DRAWN:
        found.append(Found(Thing.SYRINGE, flag))
    for person in dict.fromkeys((code, flag)):
        if view.one(PERSON, person) is not None:
            found.append(Found(Thing.PERSON, person))
            break
    return found


def near_codes(view: View, text: str) -> list[Found]:
    """Return codes of vials and syringes that are like the text, the likest first."""
    flag = text.strip().upper()
    if "-" in flag:
        return _like(Thing.SYRINGE, flag, (code for code, _ in view.all(SYRINGE)))
    return _like(Thing.VIAL, flag, (code for code, _ in view.all(VIAL)))


def lots_here(view: View) -> dict[str, str | None]:
    """Return every lot that the site has a record of, with its expiry as printed."""
    return {lot: state.expiry for lot, state in view.all(LOT)}


def _like(thing: Thing, text: str, known: Iterable[str]) -> list[Found]:
    near = get_close_matches(text, list(known), _OFFERED, _ALIKE)
    return [Found(thing, code) for code in near]
