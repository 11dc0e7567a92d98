"""Who looked: who saw whose name and contact, on which screen and when; by codes alone."""

from django.http import HttpRequest, HttpResponse

from thawline.web.around import around
from thawline.web.looking import SEARCHES_AN_HOUR, looks, searched_often
from thawline.web.pages import page
from thawline.web.screens import Screen

_SHOWN = 200


def show(request: HttpRequest) -> HttpResponse:
    """Return the page, of everybody or of one person or one looker."""
    person = request.GET.get("person", "").strip()
    by = request.GET.get("by", "").strip()
    with around(request) as round_:
        found = looks().newest(_SHOWN + 1, person, by)
        own = {
            "looks": found[:_SHOWN],
            "more": len(found) > _SHOWN,
            "shown": _SHOWN,
            "person": person,
            "by": by,
            "often": searched_often(round_.at),
            "limit": SEARCHES_AN_HOUR,
        }
        return page(request, round_, "who-looked", own)


SCREENS = (Screen("who-looked", "Who looked", "see-looks", show),)
