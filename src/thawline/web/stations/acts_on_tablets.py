"""What is pressed about the site's tablets: enrol, place, revoke."""

import re

from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.web.acts import Form, PageAct
from thawline.web.staff import codes, tablets
from thawline.web.staff.kept_secretly import code_of
from thawline.web.staff.once import once

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 -]{0,39}", re.ASCII)


class OnTablet(Form, frozen=True):
    """A tablet, and the station where it stands (empty: none)."""

    tablet: str
    station: str = ""


def _new(site: Site, doing: Doing, form: OnTablet) -> Outcome:
    name, station = _named(form.tablet), _named(form.station) if form.station else ""
    opened = codes.Opened(codes.TABLET, name, station, doing.by)
    says = f"code given for tablet {name}"
    return once(site, doing, "new-tablet", says, lambda: codes.hand_out(doing.id, opened))


def _place(site: Site, doing: Doing, form: OnTablet) -> Outcome:
    station = _named(form.station) if form.station else ""
    says = f"tablet {form.tablet} stands at {station or 'no station'}"
    return once(site, doing, "place-tablet", says, lambda: tablets.place(form.tablet, station))


def _revoke(site: Site, doing: Doing, form: OnTablet) -> Outcome:
    says = f"tablet {form.tablet} revoked"
    return once(site, doing, "revoke-tablet", says, lambda: tablets.revoke(form.tablet))


def _named(text: str) -> str:
    name = " ".join(text.split())
    if not _NAME.fullmatch(name):
        raise RecordError(
            f"not a name for a tablet or station: {text[:20]!r}",
            advice="letters, digits, spaces and hyphens, as in tablet 3",
        )
    return name


def _code(form: OnTablet, outcome: Outcome) -> str:
    made = code_of(outcome.receipt.id) if outcome.receipt else "none"
    return f"code for {form.tablet}: {made}, good once, for 10 min, at /enrol"


ACTS = (
    PageAct("new-tablet", "manage-people", OnTablet, _new, _code, undone=False),
    PageAct(
        *("place-tablet", "manage-people", OnTablet, _place),
        lambda form, _outcome: f"{form.tablet} stands at {form.station or 'no station'}",
        undone=False,
    ),
    PageAct(
        *("revoke-tablet", "manage-people", OnTablet, _revoke),
        lambda form, _outcome: f"{form.tablet} revoked",
        undone=False,
    ),
)
