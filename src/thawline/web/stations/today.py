"""Today: is the day all right? The day line, five numbers, and the rows behind each."""

from django.http import HttpRequest, HttpResponse

from thawline.app.alert_load import AlertLoad, alert_load
from thawline.draw.day_line import day_line_svg
from thawline.draw.sheet import PHONE
from thawline.web.around import Around, around
from thawline.web.day import day_so_far
from thawline.web.day_rows import not_accounted, rows_of
from thawline.web.kept import kept_a_minute
from thawline.web.pages import page
from thawline.web.screens import Screen

_LOAD = "load"


def show(request: HttpRequest) -> HttpResponse:
    """Return the day so far."""
    asked = request.GET.get("rows", "")
    with around(request) as round_:
        day = kept_a_minute("day", round_.settled, round_.at, lambda: day_so_far(round_))
        told = {
            "day": day,
            "line": day_line_svg(day.line),
            "line_phone": day_line_svg(day.line, PHONE),
            "not_accounted": sum(1 for _ in not_accounted(round_)),
            "rows": rows_of(round_, asked),
            "load": _load(round_) if asked == _LOAD else None,
        }
        return page(request, round_, "today", told)


def _load(round_: Around) -> AlertLoad:
    def ask() -> AlertLoad:
        return alert_load(round_.view, round_.today, round_.zone)

    return kept_a_minute("load", round_.settled, round_.at, ask)


SCREENS = (Screen("today", "Today", "see-day", show, sums=True),)
