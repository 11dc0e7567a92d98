"""
What a scan means: one resolver for every screen, by content, whatever had the focus.

It answers with what the code is and what the screen makes of it; with near codes where nobody
here bears it; with a question where it can be read in two ways. It records nothing itself.
"""

from collections.abc import Callable, Mapping
from urllib.parse import quote

import msgspec
from django.http import HttpRequest, HttpResponse
from django.views.decorators.csrf import csrf_protect
from django.views.decorators.http import require_POST
from msgspec import Struct
from msgspec.structs import replace

from thawline.app.scanned import Found, Thing, found_by_code, lots_here, near_codes
from thawline.app.standings import stood
from thawline.base.errors import ExchangeError
from thawline.draw.strips import strips_svg
from thawline.exchange.gs1 import Carton, looks_like_gs1, readings
from thawline.exchange.typed import Typing
from thawline.vial.codes import vial_of
from thawline.web.around import Around, around
from thawline.web.cards import card_of
from thawline.web.ink import themed
from thawline.web.languages.chosen import in_language
from thawline.web.refusals import answer, body_of
from thawline.web.screens import screens
from thawline.web.staff.badges import bears_badge
from thawline.web.strips import strip_of, was_opened

_LONGEST = 200
"""No code of ours, no badge and no carton's code is longer."""
_WORDS = {Thing.VIAL: "vial", Thing.SYRINGE: "syringe", Thing.PERSON: "person"}


class Typed(Struct, frozen=True, forbid_unknown_fields=True):
    """What a scanner typed, on which screen, and what the tablet has learned of the scanner."""

    text: str
    screen: str = ""
    separator: str = "\x1d"
    hyphen: str = "-"
    swapped: bool = False
    caps: bool = False

    def as_printed(self) -> str:
        """Return what was printed."""
        habits = Typing(self.separator, self.hyphen, swapped=self.swapped, caps=self.caps)
        return habits.as_printed(self.text)


class Offer(Struct, frozen=True):
    """A code to choose instead, or one of two readings."""

    says: str
    text: str


class Meant(Struct, frozen=True):
    """
    What a scan means.

    `taken`: it is something here. `goto` is a page to open, `act` a button of the page to
    press; a field of the page that takes this kind of code comes before both.
    """

    taken: bool
    says: str
    thing: str = ""
    code: str = ""
    goto: str = ""
    act: str = ""
    picture: str = ""
    offers: list[Offer] = []
    fields: dict[str, str] = {}


@csrf_protect
@require_POST
def scan(request: HttpRequest) -> HttpResponse:
    """Return what a scan means, to whoever is at the screen."""
    try:
        typed = body_of(request, Typed)
    except msgspec.DecodeError:
        return answer(Meant(taken=False, says="this is not a scan"), 400)
    with around(request) as round_:
        if not round_.who.name or round_.who.locked:
            return _at_a_locked_screen(typed.as_printed().strip())
        meant = meaning(round_, typed)
        return answer(replace(meant, says=in_language(request, meant.says)))


def meaning(round_: Around, typed: Typed) -> Meant:
    """Return what a scan means on a screen."""
    text = typed.as_printed().strip()
    if not text or len(text) > _LONGEST:
        return Meant(taken=False, says="This is no code of ours. Scan it again.")
    if card := card_of(text):
        return Meant(
            taken=True, says=card.says, thing=Thing.CARD.value, code=card.text, act=card.act
        )
    if looks_like_gs1(text):
        return _carton(round_, text)
    found = found_by_code(round_.view, text)
    if bears_badge(text):
        found.append(Found(Thing.BADGE, text))
    if len(found) > 1:
        return _two_readings(found)
    return _told(round_, found[0]) if found else _nothing(round_, text)


def _at_a_locked_screen(text: str) -> HttpResponse:
    if bears_badge(text):
        says = "A badge. Type your PIN."
        return answer(
            Meant(taken=True, says=says, thing=Thing.BADGE.value, code=text, goto="/door")
        )
    return answer(Meant(taken=False, says="This screen is locked. Scan your badge."), 401)


def _told(round_: Around, found: Found) -> Meant:
    return _MEANINGS[found.thing](round_, found.code)


def _vial(round_: Around, code: str) -> Meant:
    vial = stood(round_.view, round_.rules, code, round_.at)
    return Meant(
        taken=True,
        says=f"Vial {code}, lot {vial.vial.lot}: {vial.reckoning.state.value}",
        thing=Thing.VIAL.value,
        code=code,
        goto=_page(round_, "vial", code),
        picture=_picture(round_, code),
    )


def _syringe(round_: Around, code: str) -> Meant:
    vial = vial_of(code)
    return Meant(
        taken=True,
        says=f"Syringe {code}",
        thing=Thing.SYRINGE.value,
        code=code,
        goto=_page(round_, "vial", vial) if vial else "",
        picture=_picture(round_, vial) if vial else "",
    )


def _person(_round: Around, code: str) -> Meant:
    return Meant(taken=True, says=f"Person {code}", thing=Thing.PERSON.value, code=code)


def _badge(_round: Around, code: str) -> Meant:
    return Meant(taken=True, says="A badge", thing=Thing.BADGE.value, code=code, goto="/door")


_MEANINGS: Mapping[Thing, Callable[[Around, str], Meant]] = {
    Thing.VIAL: _vial,
    Thing.SYRINGE: _syringe,
    Thing.PERSON: _person,
    Thing.BADGE: _badge,
}


def _carton(round_: Around, text: str) -> Meant:
    lots = lots_here(round_.view)
    try:
        found = readings(text, lots)
    except ExchangeError as error:
        return Meant(taken=False, says=f"{error.says[:1].upper()}{error.says[1:]}")
    if len(found) > 1:
        offers = [Offer(f"Lot {each.lot}", _again(each)) for each in found]
        says = "This code can be read in two ways. Which lot is printed on the carton?"
        return Meant(taken=False, says=says, thing=Thing.CARTON.value, offers=offers)
    return _read_carton(round_, found[0], lots)


def _read_carton(round_: Around, carton: Carton, lots: Mapping[str, str | None]) -> Meant:
    says = f"Carton, lot {carton.lot or 'not known'}, expiry {carton.expiry or 'not known'}"
    if carton.lot and carton.lot not in lots:
        says += ". This lot is not on the site's record: compare it with the carton"
    kept = lots.get(carton.lot or "")
    if kept and carton.expiry and not carton.expiry.startswith(kept):
        says = (
            f"The carton says expiry {carton.expiry}, the record of lot {carton.lot} says "
            f"{kept}. Do not use, do not discard; call the vaccine coordinator"
        )
        return Meant(taken=False, says=says, thing=Thing.CARTON.value, code=carton.lot or "")
    told = {"lot": carton.lot, "expiry": carton.expiry, "gtin": carton.gtin}
    return Meant(
        taken=True,
        says=says,
        thing=Thing.CARTON.value,
        code=carton.lot or "",
        goto=_page(round_, "vials", "", f"?lot={quote(carton.lot)}") if carton.lot else "",
        fields={name: value for name, value in told.items() if value},
    )


def _again(carton: Carton) -> str:
    """Return a reading as a code that can be read in one way."""
    parts = [f"01{carton.gtin}"]
    if carton.expires:
        parts.append(f"17{carton.expires:%y%m%d}")
    parts.append(f"10{carton.lot}\x1d21{carton.serial or '0'}")
    return "".join(parts)


def _two_readings(found: list[Found]) -> Meant:
    offers = [Offer(f"The {each.thing.value} {each.code}", each.code) for each in found]
    says = "This code stands for two things here. Which is it?"
    return Meant(taken=False, says=says, offers=offers)


def _nothing(round_: Around, text: str) -> Meant:
    near = near_codes(round_.view, text)
    kind = "syringe" if "-" in text else "vial"
    says = f"No {kind} {text.upper()} here."
    if near:
        says += f" Did you mean {' or '.join(each.code for each in near)}?"
    offers = [
        Offer(f"{_WORDS[each.thing].capitalize()} {each.code}", each.code) for each in near
    ]
    return Meant(taken=False, says=says, offers=offers)


def _page(round_: Around, path: str, code: str, more: str = "") -> str:
    """Return the address of a screen, if the person at this one may see it."""
    screen = screens().get(path)
    if screen is None or not round_.who.may(screen.action):
        return ""
    return f"/{path}/{code}" if code else f"/{path}{more}"


def _picture(round_: Around, code: str) -> str:
    vial = stood(round_.view, round_.rules, code, round_.at)
    if not was_opened(vial):
        return ""
    return themed(strips_svg([strip_of(vial)], round_.at, round_.zone))
