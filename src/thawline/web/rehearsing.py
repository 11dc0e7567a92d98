"""The page on which a rehearsal's present is moved; a live site has no such page."""

from datetime import date, time

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_http_methods

from thawline.adapters import rehearsal
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_instant, local_time
from thawline.web.around import Around, around
from thawline.web.denied import DeniedError
from thawline.web.here import folder
from thawline.web.languages.chosen import rendered
from thawline.web.pages import frame
from thawline.web.screens import Screen
from thawline.web.who import who

ACTION = "move-now"


@require_http_methods(["GET", "POST"])
def rehearse(request: HttpRequest) -> HttpResponse:
    """Show the present and how it is moved, or move it; never before the last entry."""
    with around(request) as round_:
        if not round_.site.demo:
            raise Http404
        if not who(request).may(ACTION):
            raise DeniedError("role", "Moving the present needs another role.")
        if request.method == "POST":
            _move(round_, request.POST.get("day", ""), request.POST.get("wall", ""))
            return HttpResponseRedirect("/rehearsal")
        wall = local_time(round_.at, round_.zone).strftime("%H:%M")
        told = {**frame(request, round_, SCREEN), "wall": wall, "last": _last(round_)}
        return rendered(request, "rehearsal.html", told)


SCREEN = Screen("rehearsal", "Rehearsal", ACTION, rehearse)


def _move(round_: Around, day: str, wall: str) -> None:
    try:
        to = local_instant(date.fromisoformat(day), time.fromisoformat(wall), round_.zone)
    except ValueError as error:
        raise RecordError(
            f"not a day and a time: {day!r}, {wall!r}", advice="choose both again"
        ) from error
    last = _last(round_)
    if last is not None and to < last:
        clock = local_time(last, round_.zone).strftime("%H:%M")
        raise RecordError(
            f"the last entry was written down at {clock}; the present cannot be before it",
            advice="choose a later time, or build the rehearsal anew",
        )
    rehearsal.move(folder(), to)


def _last(round_: Around) -> Instant | None:
    head = round_.view.head
    newest = list(round_.view.entries(since=max(0, head.seq - 1)))
    return newest[-1].recorded_at if newest else None
