"""Team: who is signed off for what, until when and by whom; nobody signs themselves off."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse

from thawline.base.roles import Role
from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.staff import roll
from thawline.web.staff.sign_offs import LONGEST, someone_is

_OFFERED = timedelta(days=28)


def show(request: HttpRequest) -> HttpResponse:
    """Return the page."""
    with around(request) as round_:
        own = {
            "signed_off": roll.signed_off(),
            "names": [name for name in roll.names() if name != round_.who.name],
            "roles": [role.value for role in Role],
            "offered": round_.today + _OFFERED,
            "longest": round_.today + LONGEST,
            "has_signer": someone_is(Role.CLINICAL_LEAD, Role.TRAINER),
        }
        return page(request, round_, "team", own)


SCREENS = (Screen("team", "Team", "see-team", show),)
