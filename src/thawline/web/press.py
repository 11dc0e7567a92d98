"""
How a press becomes an act: whose it is, when it happened, whether they may, what came of it.

A press from a tablet that worked on its own says how long ago the finger touched. It has
happened then: it is a fact, recorded with what the rules say against it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from uuid import UUID

import msgspec

from thawline.app.acts import Doing, Outcome, second_person
from thawline.app.ports import Site
from thawline.base.errors import RecordError, UnsaidError
from thawline.base.instants import Instant, Occurred, exactly, from_ms
from thawline.web.acts import Form, PageAct
from thawline.web.rights import Way, way
from thawline.web.staff.sign_offs import roles_of
from thawline.web.staff.step_up import StaffPins, pin_fault, somebody
from thawline.web.who import Who

LATE = timedelta(seconds=20)
"""From when a press counts as one that waited on the tablet."""
MARGIN = timedelta(seconds=2)
"""What a tablet's own measure of elapsed time may be off by, over a shift."""
RELOADED = timedelta(seconds=120)
"""What the wall clock of a tablet that was started anew may be off by more."""


class DeniedError(Exception):
    """The person may not do this; `needs` says what is missing: a role, a PIN, a second one."""

    def __init__(self, needs: str, says: str) -> None:
        super().__init__(says)
        self.needs = needs


@dataclass(frozen=True, slots=True)
class Sent:
    """
    What arrived.

    Args:
        id: Minted where the finger touched.
        fields: Of the form, as sent.
        station: Where it was pressed.
        why: The reason, where one is asked for.
        pin: Of the person themselves, where the table asks for it again.
        second: The name of a second person.
        second_pin: Their own PIN.
        elapsed_ms: Since the touch, by a clock that only goes forward; None: it was lost.
        clock_ms: The touch by the tablet's wall clock, put right by the last offset measured.
    """

    id: UUID
    fields: Mapping[str, object]
    station: str = ""
    why: str = ""
    pin: str = ""
    second: str = ""
    second_pin: str = ""
    elapsed_ms: int | None = 0
    clock_ms: int | None = None


def press(site: Site, who: Who, act: PageAct, sent: Sent) -> tuple[Outcome, Form]:
    """
    Do an act for somebody, or refuse it.

    Raises:
        DeniedError: The table of rights says no, or asks for more.
        RecordError: A field is not what it should be.
        RefusedError: The rules forbid it.
    """
    site = replace(site, pins=StaffPins(site.pins))
    _refuse_role(who, act)
    form = read_form(act, sent.fields)
    _refuse_denied(site, who, act, form, sent)
    return act.press(site, _doing(site, who, act, sent), form), form


def read_form(act: PageAct, fields: Mapping[str, object]) -> Form:
    """Return the fields of an act as its form; RecordError names the field."""
    tidy = {
        name: value.strip() if isinstance(value, str) else value
        for name, value in fields.items()
        if value not in {"", None}
    }
    try:
        return msgspec.convert(tidy, act.form, strict=False)
    except msgspec.ValidationError as error:
        raise RecordError(f"{act.name}: {error}", advice="look at what was typed") from error


def _refuse_role(who: Who, act: PageAct) -> None:
    """Raise where the table gives them nothing, before anything that was sent is read."""
    asked = who.way(act.action)
    if who.locked and asked is not Way.ANYBODY:
        raise DeniedError("unlock", "The screen is locked: unlock it and press once more.")
    if asked is Way.DENIED:
        raise DeniedError("role", "this needs another role")


def _refuse_denied(site: Site, who: Who, act: PageAct, form: Form, sent: Sent) -> None:
    """Raise unless it is their own where it must be, and their or a second one's PIN fits."""
    asked = who.way(act.action)
    if asked is Way.OWN and not act.own(site, who, form):
        raise DeniedError("role", "this needs another role")
    if asked is Way.PIN and (says := pin_fault(site, who.name, sent.pin, who.device)):
        raise DeniedError("pin", says)
    if asked is Way.TWO:
        _refuse_second(site, who, act, sent)
    elif sent.second and sent.second_pin:
        _refuse_wrong_pin(site, who, _named(sent.second), sent)


def _refuse_second(site: Site, who: Who, act: PageAct, sent: Sent) -> None:
    """Raise unless a second person is there by their own PIN, whose role this row allows."""
    if not sent.second or not sent.second_pin:
        raise DeniedError("second", "a second person types their own name and PIN")
    second = somebody(sent.second)
    if second is None:
        raise DeniedError("second", "nobody of that name works here: type it again")
    if second.name == who.name:
        raise DeniedError("second", "this needs somebody else beside you")
    if way(act.action, roles_of(second.name)) is Way.DENIED:
        raise DeniedError("second", f"{second.name} may not do this: another second person")
    _refuse_wrong_pin(site, who, second.name, sent)


def _refuse_wrong_pin(site: Site, who: Who, second: str, sent: Sent) -> None:
    if says := pin_fault(site, second, sent.second_pin, who.device):
        raise DeniedError("second", f"the second person: {says}")


def _doing(site: Site, who: Who, act: PageAct, sent: Sent) -> Doing:
    now = site.now()
    occurred = _occurred(now, sent)
    waited = sent.elapsed_ms is None or timedelta(milliseconds=sent.elapsed_ms) > LATE
    return Doing(
        by=who.name if who.name and not who.locked else "not named",
        occurred=occurred,
        recorded_at=now,
        id=sent.id,
        why=sent.why,
        device=who.device,
        station=sent.station or who.station,
        second=second_person(site, who.name, _named(sent.second), sent.second_pin or None),
        happened=act.fact or waited,
    )


def _named(second: str) -> str:
    """Return the second person's own name where they typed or scanned their badge."""
    found = somebody(second)
    return found.name if found is not None else second


def _occurred(now: Instant, sent: Sent) -> Occurred:
    """
    Return when the finger touched, as an interval that holds the truth.

    Raises:
        UnsaidError: Neither the time since the touch nor the tablet's clock is known.
    """
    if sent.elapsed_ms is not None:
        elapsed = timedelta(milliseconds=max(0, sent.elapsed_ms))
        if elapsed <= LATE:
            return exactly(now)
        return Occurred(
            Instant(now - elapsed - MARGIN), Instant(min(now, now - elapsed + MARGIN))
        )
    if sent.clock_ms is None:
        raise UnsaidError("nobody knows when this was pressed", advice="type the time")
    touched = from_ms(sent.clock_ms)
    return Occurred(
        Instant(min(now, touched - RELOADED)), Instant(min(now, touched + RELOADED))
    )
