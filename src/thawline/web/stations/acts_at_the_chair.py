"""What is pressed at the chair: checked, given, none given, drawn and given, needle-stick."""

from decimal import Decimal, InvalidOperation

from thawline.app import doses, needle_sticks
from thawline.app.acts import Doing, Outcome
from thawline.app.in_hand import Needle
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.quantities import Microlitres, microlitres
from thawline.ledger.events import DoseGiven
from thawline.web.acts import Form, PageAct

_NOT_KNOWN = "not-known"


class Checking(Form, frozen=True):
    """A person, and the syringe or the vial in hand, by the code on it."""

    person: str
    code: str


class Given(Form, frozen=True):
    """A dose that was given; `arm` left, right or not-known; mL where it was not the dose."""

    person: str
    code: str
    arm: str = _NOT_KNOWN
    volume_ml: str = ""


class OfPerson(Form, frozen=True):
    """One person, by code."""

    person: str


class Stuck(Form, frozen=True):
    """A needle-stick; `used` is yes, no or not-known; `source` is the person's code."""

    code: str
    used: str = _NOT_KNOWN
    source: str = ""


def needle_of(
    person: str, code: str, arm: str | None = None, volume_ul: int | None = None
) -> Needle:
    """Return what is in hand: a syringe's code has a hyphen, a vial's has none."""
    tidy = code.strip().upper()
    if not tidy:
        raise RecordError("no dose is named", advice="scan the syringe, or the vial")
    syringe, vial = (tidy, None) if "-" in tidy else (None, tidy)
    who = person.strip().upper()
    return Needle(who, syringe, vial, arm=arm, volume_ul=volume_ul)


def _check(site: Site, doing: Doing, form: Checking) -> Outcome:
    return doses.check(site, doing, needle_of(form.person, form.code))


def _give(site: Site, doing: Doing, form: Given) -> Outcome:
    arm = None if form.arm == _NOT_KNOWN else form.arm
    volume = _microlitres(form.volume_ml) if form.volume_ml else None
    return doses.give(site, doing, needle_of(form.person, form.code, arm, volume))


def _microlitres(text: str) -> Microlitres:
    try:
        return microlitres(Decimal(text))
    except InvalidOperation as error:
        raise RecordError(f"not a volume: {text!r}", advice="in mL, as in 0.5") from error


def _none(site: Site, doing: Doing, form: OfPerson) -> Outcome:
    return doses.not_given(site, doing, form.person)


def _stuck(site: Site, doing: Doing, form: Stuck) -> Outcome:
    code = form.code.strip().upper()
    outcome = needle_sticks.stuck(site, doing, code, form.used, form.source)
    if outcome is None:
        raise RecordError(
            f"the private card is kept; no drawn dose {code!r} is in the book to be wasted",
            advice="wash, tell the clinical lead, occupational health at once",
        )
    return outcome


def _says_given(form: Given, outcome: Outcome) -> str:
    given = outcome.event
    number = given.dose_number if isinstance(given, DoseGiven) else ""
    arm = "arm not recorded" if form.arm == _NOT_KNOWN else f"{form.arm} arm"
    return f"{form.person.upper()}: dose {number} from {form.code.upper()} given, {arm}"


ACTS = (
    PageAct(
        "check-dose",
        "give-dose",
        Checking,
        _check,
        lambda form, _: f"{form.code.upper()} may be given to {form.person.upper()}",
        undone=False,
    ),
    PageAct("give-dose", "give-dose", Given, _give, _says_given, fact=True),
    PageAct(
        "no-dose",
        "give-dose",
        OfPerson,
        _none,
        lambda form, _: f"{form.person}: no dose given",
        fact=True,
    ),
    PageAct(
        "needle-stick",
        "waste",
        Stuck,
        _stuck,
        lambda form, _: f"{form.code.upper()} wasted: needle-stick; the private card is kept",
        fact=True,
        undone=False,
    ),
)
