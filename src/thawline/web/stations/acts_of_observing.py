"""What is pressed in the observation area, on the emergency card, and at the emergency kit."""

import re

from thawline.app import observing
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.web.acts import Form, PageAct

CODE = re.compile(r"[A-Z0-9-]{0,40}")
"""Anybody may stamp, so that nothing but a code may get into the record this way."""
_STAMPED = {
    "given": "epinephrine given",
    "called": "the emergency number was called",
    "crew": "the crew is here",
    "down": "down",
    "up": "up again",
}


class Left(Form, frozen=True):
    """Somebody left the observation area."""

    person: str


class Stamped(Form, frozen=True):
    """A moment: given, called, crew, down or up; of a card, of a person, of neither."""

    what: str
    card: str = ""
    person: str = ""


class Named(Form, frozen=True):
    """Whose emergency card it was."""

    card: str
    person: str


class Kit(Form, frozen=True):
    """Doses of epinephrine by their last day of use, and who is present and may give one."""

    count: int
    until: str
    more: int = 0
    more_until: str = ""
    able: str = ""


class Resumed(Form, frozen=True):
    """Vaccinating goes on."""


def _left(site: Site, doing: Doing, form: Left) -> Outcome:
    return observing.went(site, doing, form.person)


def _stamp(site: Site, doing: Doing, form: Stamped) -> Outcome:
    for code in (form.card, form.person):
        if not CODE.fullmatch(code):
            raise RecordError(f"not a code: {code!r}", advice="open the card again and press")
    return observing.stamp(site, doing, form.what, form.card, form.person or None)[0]


def _name(site: Site, doing: Doing, form: Named) -> Outcome:
    return observing.name_card(site, doing, form.card, form.person.strip().upper())


def _look(site: Site, doing: Doing, form: Kit) -> Outcome:
    doses = [f"{form.count}@{form.until}"]
    if form.more:
        if not form.more_until:
            raise RecordError(
                f"{form.more} more doses without a last day of use", advice="look at the label"
            )
        doses.append(f"{form.more}@{form.more_until}")
    able = [name.strip() for name in form.able.split(",") if name.strip()]
    return observing.look_at_kit(site, doing, doses, able)


def _resume(site: Site, doing: Doing, _form: Resumed, pin: str) -> Outcome:
    return observing.resume(site, doing, pin)


def _says_stamp(form: Stamped, _outcome: Outcome) -> str:
    whom = f"{form.person}: " if form.person else ""
    return f"{whom}{_STAMPED.get(form.what, form.what)}"


ACTS = (
    PageAct("left", "observe", Left, _left, lambda form, _: f"{form.person} left", fact=True),
    PageAct("stamp", "stamp", Stamped, _stamp, _says_stamp, fact=True),
    PageAct(
        "name-card",
        "open-reaction",
        Named,
        _name,
        lambda form, _: f"card {form.card} is about {form.person.upper()}",
        fact=True,
    ),
    PageAct(
        "look-at-kit",
        "look-at-kit",
        Kit,
        _look,
        lambda form, _: f"emergency kit: {form.count + form.more} doses",
        fact=True,
    ),
    PageAct(
        "resume",
        "resume",
        Resumed,
        _resume,
        lambda _form, _outcome: "vaccinating goes on",
        undone=False,
        pinned=True,
    ),
)
