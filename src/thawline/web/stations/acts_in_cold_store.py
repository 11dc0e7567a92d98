"""What is pressed at the cold store: a reading, an answer to an alert, a test call, a hold."""

from decimal import Decimal, InvalidOperation

from thawline.app import watching
from thawline.app.acts import Doing, Outcome
from thawline.app.excursions import hold_exposed, warm_unit
from thawline.app.hand_reading import Display, record_reading
from thawline.app.ports import Site
from thawline.app.unheld import unheld
from thawline.app.units import unit_of
from thawline.base.errors import RecordError
from thawline.base.instants import Instant
from thawline.web.acts import Form, PageAct


class Read(Form, frozen=True):
    """What a display shows: now, lowest and highest since its last reset, in °C."""

    unit: str
    now: str
    lowest: str = ""
    highest: str = ""
    reset: bool = False


class OnUnit(Form, frozen=True):
    """One storage unit."""

    unit: str


class Answer(Form, frozen=True):
    """Somebody answered about a unit; `takes`: it is theirs now."""

    unit: str
    takes: bool


class TestCall(Form, frozen=True):
    """Who answered a test call for the night; a dialler by what it is called."""

    answered_by: str
    dialler: bool = False


def _read(site: Site, doing: Doing, form: Read) -> Outcome:
    display = Display(
        _degrees("now", form.now),
        _degrees("lowest", form.lowest) if form.lowest else None,
        _degrees("highest", form.highest) if form.highest else None,
        form.reset,
    )
    return record_reading(site, doing, form.unit, display)


def _degrees(name: str, typed: str) -> Decimal:
    """Return a temperature as it was typed, with either minus sign and either decimal mark."""
    try:
        return Decimal(typed.replace("\N{MINUS SIGN}", "-").replace(",", ".").strip())
    except InvalidOperation:
        raise RecordError(
            f"{name}: {typed!r} is no temperature", advice="write degrees Celsius, as in -18.5"
        ) from None


def _answer(site: Site, doing: Doing, form: Answer) -> Outcome:
    named = unit_of(site, form.unit)
    return watching.answer(site, doing, named.name, takes=form.takes)


def _test_call(site: Site, doing: Doing, form: TestCall) -> Outcome:
    return watching.answer_test_call(site, doing, form.answered_by, None, dialler=form.dialler)


def _hold(site: Site, doing: Doing, form: OnUnit) -> Outcome:
    """Hold what was in a unit during every excursion of which something is held by nobody."""
    found = unheld(site, form.unit, None)
    if not found:
        raise RecordError(
            f"nothing that was in {form.unit} is left to hold", advice="look at the page again"
        )
    since: Instant = min(each.since for each in found)
    warm_unit(site, doing, form.unit, since, None)
    outcome, _ = hold_exposed(site, doing, form.unit, since, None)
    return outcome


ACTS = (
    PageAct(
        "record-reading",
        "record-reading",
        Read,
        _read,
        lambda form, _: f"{form.unit} read: {form.now} °C",
    ),
    PageAct(
        "answer-alert",
        "record-reading",
        Answer,
        _answer,
        lambda form, _: (
            f"{form.unit}: taken on" if form.takes else f"{form.unit}: call the next person now"
        ),
        undone=False,
        fact=True,
    ),
    PageAct(
        "answer-test-call",
        "record-reading",
        TestCall,
        _test_call,
        lambda form, _: f"{form.answered_by} answered a test call for the night",
        fact=True,
    ),
    PageAct(
        "hold-exposed",
        "hold",
        OnUnit,
        _hold,
        lambda form, _: f"held: what was in {form.unit} while it was out of its band",
        undone=False,
        fact=True,
    ),
)
