"""
How a press becomes an act: whose it is, when it happened, whether they may, what came of it.

A press from a tablet that worked on its own says how long ago the finger touched. It has
happened then: it is a fact, recorded with what the rules say against it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from uuid import UUID

from thawline.app.acts import Doing, Outcome, second_person
from thawline.app.ports import Site
from thawline.base.errors import ReusedIdError, UnsaidError
from thawline.web.acts import Form, PageAct
from thawline.web.denied import DeniedError
from thawline.web.filled import read_form, refuse_unreadable
from thawline.web.rights import Way, way
from thawline.web.staff.sign_offs import roles_of
from thawline.web.staff.step_up import StaffPins, pin_fault, somebody
from thawline.web.touched import NOW, Times, Touch, fresh_times, kept_times
from thawline.web.who import Who

TEXTS = {
    "_station": "station",
    "_why": "why",
    "_pin": "pin",
    "_second": "second",
    "_second_pin": "second_pin",
}
"""What a form sends beside its fields, and what that is called."""


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

    def texts(self) -> Mapping[str, object]:
        """Return what was typed beside the fields of the form."""
        texts = (self.station, self.why, self.pin, self.second, self.second_pin)
        return dict(zip(TEXTS.values(), texts, strict=True))


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
    site = replace(site, pins=StaffPins(site.pins))
    _refuse_role(who, act)
    refuse_unreadable(act.name, sent.texts())
    form = read_form(act, sent.fields)
    _refuse_denied(site, who, act, form, sent)
    times = kept_times(site, sent.id) or _fresh_times(site, sent)
    try:
        return _pressed(site, who, act, sent, form, times), form
    except ReusedIdError:
        # The same press, sent twice, may have overtaken itself: then it has other times.
        first = kept_times(site, sent.id)
        if first is None or first == times:
            raise
        return _pressed(site, who, act, sent, form, first), form


def _pressed(
    site: Site, who: Who, act: PageAct, sent: Sent, form: Form, times: Times
) -> Outcome:
    doing = _doing(site, who, act, sent, times)
    return act.press(*((site, doing, form, sent.pin) if act.pinned else (site, doing, form)))


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


def _fresh_times(site: Site, sent: Sent) -> Times:
    try:
        return fresh_times(site, sent.touch)
    except UnsaidError as error:
        raise DeniedError("time", error.says) from error


def _doing(site: Site, who: Who, act: PageAct, sent: Sent, times: Times) -> Doing:
    return Doing(
        by=who.name if who.name and not who.locked else "not named",
        occurred=times.occurred,
        recorded_at=site.now(),
        id=sent.id,
        why=sent.why,
        device=who.device,
        station=sent.station or who.station,
        second=second_person(site, who.name, _named(sent.second), sent.second_pin or None),
        happened=act.fact or times.happened,
    )


def _named(second: str) -> str:
    """Return the second person's own name where they typed or scanned their badge."""
    found = somebody(second)
    return found.name if found is not None else second
