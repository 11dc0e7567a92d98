"""What is pressed at the front desk: arrived, consent, put right, walk-up, a place, sent on."""

from datetime import date, time

from thawline.app import consents, doses, meeting, sent_on, walk_ups
from thawline.app.acts import Doing, Outcome
from thawline.app.booking_anew import book_anew
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import local_instant, read_date
from thawline.ledger.events import EarlierDoseTold
from thawline.ledger.person_events import ConsentAnswered, PersonArrived, PersonSent
from thawline.person.desk import BORN, NAME, PHONE
from thawline.person.likeness import Identity
from thawline.web.acts import Form, PageAct

AGREES, DIFFERS = "agrees", "differs"


class Arrived(Form, frozen=True):
    """Somebody came; for each identifier "agrees", "differs" or nothing: not compared."""

    person: str
    name: str = ""
    born: str = ""
    phone: str = ""


class Consented(Form, frozen=True):
    """What was said to the dose of the day."""

    person: str
    answer: str
    whose: str = "self"
    edition: str = ""
    interpreter: bool = False


class PutRight(Form, frozen=True):
    """What is kept of somebody, as they say it is."""

    person: str
    name: str = ""
    born: str = ""
    phone: str = ""


class WalkedUp(Form, frozen=True):
    """Somebody without a place; `person` where they are on the list already."""

    name: str = ""
    born: str = ""
    phone: str = ""
    person: str = ""
    another: bool = False
    language: str = ""
    needs: str = ""
    first_dose: str = ""
    first_lot: str = ""


class Told(Form, frozen=True):
    """A first dose had elsewhere, from the person's card."""

    person: str
    given_on: str
    lot: str = ""


class Place(Form, frozen=True):
    """A place on a day at a time, as 2026-03-04 and 09:00."""

    person: str
    day: str
    time: str


class SentOn(Form, frozen=True):
    """Somebody goes to the clinical lead, about one of the known words."""

    person: str
    about: str


def _arrive(site: Site, doing: Doing, form: Arrived) -> Outcome:
    said = {NAME: form.name, BORN: form.born, PHONE: form.phone}
    for word in said.values():
        if word not in {"", AGREES, DIFFERS}:
            raise RecordError(f"not an answer: {word!r}", advice=f"{AGREES} or {DIFFERS}")
    heard = meeting.Heard(
        agreed=tuple(each for each, word in said.items() if word == AGREES),
        differed=tuple(each for each, word in said.items() if word == DIFFERS),
    )
    return _recorded(meeting.hear(site, doing, form.person, heard).outcome)


def _recorded(outcome: Outcome | None) -> Outcome:
    if outcome is None:
        raise RecordError(
            "somebody of that name may be on the list already",
            advice="look at both side by side, then say which of them it is",
        )
    return outcome


def _consent(site: Site, doing: Doing, form: Consented) -> Outcome:
    said = ConsentAnswered(
        person=form.person,
        answer=form.answer,
        whose=form.whose,
        edition=form.edition,
        interpreter=form.interpreter,
    )
    return consents.consent(site, doing, said)


def _put_right(site: Site, doing: Doing, form: PutRight) -> Outcome:
    right = Identity(form.name, _day(form.born), form.phone)
    return consents.amend(site, doing, form.person, right)


def _day(text: str) -> date | None:
    return read_date(text) if text else None


def _walk_up(site: Site, doing: Doing, form: WalkedUp) -> Outcome:
    walk_up = walk_ups.WalkUp(
        said=Identity(form.name, _day(form.born), form.phone),
        code=form.person or None,
        another=form.another,
        language=form.language,
        needs=form.needs,
        first_dose=_day(form.first_dose),
        first_lot=form.first_lot,
    )
    return _recorded(walk_ups.take_in(site, doing, walk_up).outcome)


def _told(site: Site, doing: Doing, form: Told) -> Outcome:
    on = read_date(form.given_on).isoformat()
    card = EarlierDoseTold(person=form.person, given_on=on, lot=form.lot)
    return doses.told(site, doing, card)


def _book(site: Site, doing: Doing, form: Place) -> Outcome:
    try:
        wall = time.fromisoformat(form.time)
    except ValueError as error:
        raise RecordError(f"not a time: {form.time!r}", advice="as in 09:00") from error
    return book_anew(
        site, doing, form.person, local_instant(read_date(form.day), wall, site.zone)
    )


def _send_on(site: Site, doing: Doing, form: SentOn) -> Outcome:
    return sent_on.send_on(site, doing, form.person, form.about)


def _says_sent(form: SentOn, outcome: Outcome) -> str:
    sent = outcome.event
    slip = f" with slip {sent.slip}" if isinstance(sent, PersonSent) else ""
    return f"{form.person} sent to the clinical lead{slip}"


def _says_walk_up(_form: WalkedUp, outcome: Outcome) -> str:
    came = outcome.event
    who = f"{came.person} " if isinstance(came, PersonArrived) else ""
    return f"{who}taken in as a walk-up"


def _says_consent(form: Consented, _outcome: Outcome) -> str:
    whose = "" if form.whose == "self" else f", said by the {form.whose}"
    return f"{form.person}: consent {form.answer}{whose}"


ACTS = (
    PageAct(
        "arrived",
        "find-person",
        Arrived,
        _arrive,
        lambda form, _: f"{form.person} arrived",
        fact=True,
    ),
    PageAct("consent", "record-consent", Consented, _consent, _says_consent, fact=True),
    PageAct(
        "put-right",
        "find-person",
        PutRight,
        _put_right,
        lambda form, _: f"what is kept of {form.person} was put right; compare again",
        undone=False,
    ),
    PageAct(
        "walk-up",
        "find-person",
        WalkedUp,
        _walk_up,
        _says_walk_up,
        undone=False,
    ),
    PageAct(
        "book-place",
        "book",
        Place,
        _book,
        lambda form, _: f"{form.person} has a place on {form.day} at {form.time}",
    ),
    PageAct(
        "told-dose",
        "find-person",
        Told,
        _told,
        lambda form, _: f"{form.person}: a dose on {form.given_on}, by the card",
        fact=True,
    ),
    PageAct("send-on", "find-person", SentOn, _send_on, _says_sent),
)
