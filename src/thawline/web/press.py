"""
How a press becomes an act: whose it is, when it happened, whether they may, what came of it.

A press from a tablet that worked on its own says how long ago the finger touched. It has
happened then: it is a fact, recorded with what the rules say against it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

import msgspec

from thawline.app.acts import Doing, Outcome, second_person
from thawline.app.ports import Site
from thawline.base.errors import RecordError, ReusedIdError, UnsaidError
from thawline.web.acts import Form, PageAct
from thawline.web.rights import Way
from thawline.web.touched import NOW, Times, Touch, fresh_times, kept_times
from thawline.web.who import Who


class DeniedError(Exception):
    """It may not be done like this; `needs` says what is missing: role, pin, second, time."""

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
        touch: When the finger touched, as the tablet measured it.
    """

    id: UUID
    fields: Mapping[str, object]
    station: str = ""
    why: str = ""
    pin: str = ""
    second: str = ""
    second_pin: str = ""
    touch: Touch = NOW


def press(site: Site, who: Who, act: PageAct, sent: Sent) -> tuple[Outcome, Form]:
    """
    Do an act for somebody, or refuse it.

    Raises:
        DeniedError: The table of rights says no, or asks for more, or nobody knows when
            the finger touched.
        RecordError: A field is not what it should be.
        RefusedError: The rules forbid it.
        ReusedIdError: The id stands for another act.
    """
    form = read_form(act, sent.fields)
    _refuse_denied(site, who, act, form, sent)
    times = kept_times(site, sent.id) or _fresh_times(site, sent)
    try:
        return act.press(site, _doing(site, who, act, sent, times), form), form
    except ReusedIdError:
        # The same press, sent twice, may have overtaken itself: then it has other times.
        first = kept_times(site, sent.id)
        if first is None or first == times:
            raise
        return act.press(site, _doing(site, who, act, sent, first), form), form


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


def _refuse_denied(site: Site, who: Who, act: PageAct, form: Form, sent: Sent) -> None:
    way = who.way(act.action)
    if way is Way.DENIED or (way is Way.OWN and not act.own(site, who, form)):
        raise DeniedError("role", "this needs another role")
    if way is Way.PIN and not site.pins.fits(who.name, sent.pin):
        raise DeniedError("pin", "type your own PIN")
    if way is Way.TWO and not _two(site, sent):
        raise DeniedError("second", "a second person types their own name and PIN")


def _two(site: Site, sent: Sent) -> bool:
    return bool(sent.second) and site.pins.fits(sent.second, sent.second_pin)


def _fresh_times(site: Site, sent: Sent) -> Times:
    try:
        return fresh_times(site, sent.touch)
    except UnsaidError as error:
        raise DeniedError("time", error.says) from error


def _doing(site: Site, who: Who, act: PageAct, sent: Sent, times: Times) -> Doing:
    return Doing(
        by=who.name or "not named",
        occurred=times.occurred,
        recorded_at=site.now(),
        id=sent.id,
        why=sent.why,
        device=who.device,
        station=sent.station or who.station,
        second=second_person(site, who.name, sent.second, sent.second_pin),
        happened=act.fact or times.happened,
    )
