"""Today: is the day all right? The day line, five numbers, and the rows behind each."""

from typing import Any

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
        told = {
            **kept_a_minute("day", round_.settled, round_.at, lambda: _drawn(round_)),
            "not_accounted": sum(1 for _ in not_accounted(round_)),
            "rows": rows_of(round_, asked),
            "load": _load(round_) if asked == _LOAD else None,
        }
        return page(request, round_, "today", told)


def _drawn(round_: Around) -> dict[str, Any]:
    """Return the day so far with its pictures."""
    day = day_so_far(round_)
    return {
        "day": day,
        "line": day_line_svg(day.line),
        "line_phone": day_line_svg(day.line, PHONE),
    }


def _load(round_: Around) -> AlertLoad:
    def ask() -> AlertLoad:
        return alert_load(round_.view, round_.today, round_.zone)

    return kept_a_minute("load", round_.settled, round_.at, ask)


SCREENS = (Screen("today", "Today", "see-day", show, sums=True),)
