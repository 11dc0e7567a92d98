"""Break the glass: in an emergency more is allowed for an hour, and everybody sees it."""

from django.http import HttpRequest, HttpResponse

from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.rights import rights
from thawline.web.screens import Screen


def show(request: HttpRequest) -> HttpResponse:
    """Return the page, with what breaking it opens."""
    opens = [row.says for row in rights().values() if row.glass]
    with around(request) as round_:
        return page(request, round_, "break-glass", {"opens": opens})


SCREENS = (Screen("break-glass", "Break the glass", "break-glass", show),)
