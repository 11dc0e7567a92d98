"""Today: is the day all right? The day line, and five numbers under it."""

from django.http import HttpRequest, HttpResponse

from thawline.draw.day_line import day_line_svg
from thawline.web.around import around
from thawline.web.day import day_so_far
from thawline.web.pages import page
from thawline.web.screens import Screen


def show(request: HttpRequest) -> HttpResponse:
    """Return the day so far."""
    with around(request) as round_:
        day = day_so_far(round_)
        return page(request, round_, "today", {"day": day, "line": day_line_svg(day.line)})


SCREENS = (Screen("today", "Today", "see-day", show),)
