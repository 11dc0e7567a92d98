"""What is pressed about reactions and errors: noted, and told to somebody outside."""

import re
from datetime import time
from decimal import Decimal, InvalidOperation

from thawline.adapters.reaction_tables import reaction_named
from thawline.app import reactions
from thawline.app.acts import Doing, Outcome
from thawline.app.calculators import Slip
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import (
    Occurred,
    exactly,
    last_moment,
    local_date,
    local_instant,
    midnight_before,
    read_date,
)
from thawline.base.quantities import Microlitres, microlitres
from thawline.report.reactions import Criterion, classified
from thawline.web.acts import Form, PageAct

_CLOCK = re.compile(r"([01]\d|2[0-3]):([0-5]\d)", re.ASCII)


class Reacted(Form, frozen=True):
    """A reaction; the criteria of serious as yes or nothing; began as 14:02 or 2026-02-03."""

    person: str
    what: str
    began: str = ""
    death: bool = False
    life: bool = False
    hospital: bool = False
    disability: bool = False
    birth: bool = False
    important: bool = False


class Slipped(Form, frozen=True):
    """An error with a dose; the volume in mL where too little went in."""

    person: str
    what: str
    given_on: str
    first_on: str = ""
    volume_ml: str = ""


class ToldTo(Form, frozen=True):
    """A note that was reported outside, and to whom."""

    note: str
    to: str


def criteria_in(form: Reacted) -> tuple[Criterion, ...]:
    """Return the criteria that were ticked."""
    ticked = {
        Criterion.DEATH: form.death,
        Criterion.LIFE: form.life,
        Criterion.HOSPITAL: form.hospital,
        Criterion.DISABILITY: form.disability,
        Criterion.BIRTH: form.birth,
        Criterion.IMPORTANT: form.important,
    }
    return tuple(each for each, said in ticked.items() if said)


def slip_of(what: str, given_on: str, first_on: str, volume_ml: str) -> Slip:
    """Return an error as it was told; RecordError for a date or a volume that is none."""
    first = read_date(first_on) if first_on else None
    volume = _volume(volume_ml) if volume_ml else None
    return Slip(what, read_date(given_on), first, volume)


def _volume(text: str) -> Microlitres:
    try:
        return microlitres(Decimal(text))
    except InvalidOperation as error:
        raise RecordError(f"not a volume: {text!r}", advice="in mL, as in 0.5") from error


def _began(site: Site, doing: Doing, text: str) -> Occurred | None:
    """Return when it began: a time of today, or some time on a day; None: nobody said."""
    if not text:
        return None
    if _CLOCK.fullmatch(text):
        today = local_date(doing.at, site.zone)
        return exactly(local_instant(today, time.fromisoformat(text), site.zone))
    day = read_date(text)
    return Occurred(midnight_before(day, site.zone), last_moment(day, site.zone))


def _note(site: Site, doing: Doing, form: Reacted) -> Outcome:
    found = classified(reaction_named(form.what), criteria_in(form))
    began = _began(site, doing, form.began)
    return reactions.note_reaction(site, doing, form.person.strip().upper(), found, began)


def _slip(site: Site, doing: Doing, form: Slipped) -> Outcome:
    slip = slip_of(form.what, form.given_on, form.first_on, form.volume_ml)
    return reactions.note_error(site, doing, form.person.strip().upper(), slip)[0]


def _tell(site: Site, doing: Doing, form: ToldTo) -> Outcome:
    return reactions.note_told(site, doing, form.note, form.to)


ACTS = (
    PageAct(
        "note-reaction",
        "open-reaction",
        Reacted,
        _note,
        lambda form, _: f"{form.person.upper()}: {form.what} noted",
        fact=True,
    ),
    PageAct(
        "note-error",
        "open-reaction",
        Slipped,
        _slip,
        lambda form, _: f"{form.person.upper()}: {form.what.replace('-', ' ')} noted",
        fact=True,
    ),
    PageAct(
        "told-outside",
        "send-reaction",
        ToldTo,
        _tell,
        lambda form, _: f"the note was reported to {form.to}",
        fact=True,
        undone=False,
    ),
)
