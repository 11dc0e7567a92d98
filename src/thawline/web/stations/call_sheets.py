"""To call: who did not come, is late, left early or has no arm on record, and each call."""

from dataclasses import dataclass
from datetime import time

from django.http import HttpRequest, HttpResponse

from thawline.app import call_sheet
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_instant, read_date
from thawline.person.follow_up import About, Result
from thawline.web.acts import Form, PageAct
from thawline.web.around import around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import may_see_names, saw_identity, unseen

MOST = 60
_ABOUT = {
    About.NO_SHOW: "did not come",
    About.LATE: "second dose late",
    About.LEFT_EARLY: "left early",
    About.NO_ARM: "no arm on record",
}
_REACHED_NOBODY = (Result.NO_ANSWER, Result.MESSAGE, Result.WRONG_NUMBER)
_RESULTS = {
    About.NO_SHOW: (Result.REBOOKED, Result.DECLINES, Result.HAD_ELSEWHERE, *_REACHED_NOBODY),
    About.LATE: (Result.REBOOKED, Result.DECLINES, Result.HAD_ELSEWHERE, *_REACHED_NOBODY),
    About.LEFT_EARLY: (Result.WELL, Result.UNWELL, *_REACHED_NOBODY),
    About.NO_ARM: (Result.PUT_RIGHT, *_REACHED_NOBODY),
}


class Called(Form, frozen=True):
    """A call about a day; the new place where one was booked, as 2026-02-10 and 10:00."""

    person: str
    about: str
    day: str
    result: str
    place_day: str = ""
    place_time: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One matter with one person, in words, and what a call about it may end with."""

    call: call_sheet.ToCall
    about: str
    results: tuple[Result, ...]


def show(request: HttpRequest) -> HttpResponse:
    """Return whom to call about a day, today unless another is named."""
    with around(request) as round_:
        text = request.GET.get("day", "").strip()
        day = read_date(text) if text else round_.today
        found = call_sheet.call_sheet(unseen(), day, round_.at)
        sees = may_see_names(round_)
        rows = [Row(each, _ABOUT[each.about], _RESULTS[each.about]) for each in found[:MOST]]
        for each in rows if sees else ():
            saw_identity(round_, each.call.person)
        told = {"day": day, "rows": rows, "count": len(found), "most": MOST, "sees": sees}
        return page(request, round_, "call-sheet", told)


def _call(site: Site, doing: Doing, form: Called) -> Outcome:
    if form.about not in set(About) or form.result not in set(Result):
        raise RecordError(
            f"a call about {form.about!r} that ended with {form.result!r}",
            advice="choose from the lists",
        )
    said = call_sheet.Said(
        About(form.about), read_date(form.day), Result(form.result), _place(site, form)
    )
    return call_sheet.called(site, doing, form.person, said)


def _place(site: Site, form: Called) -> Instant | None:
    if not form.place_day:
        return None
    try:
        wall = time.fromisoformat(form.place_time)
    except ValueError as error:
        raise RecordError(f"not a time: {form.place_time!r}", advice="as in 10:00") from error
    return local_instant(read_date(form.place_day), wall, site.zone)


ACTS = (
    PageAct(
        "called",
        "second-doses",
        Called,
        _call,
        lambda form, _: f"{form.person} was called: {form.result.replace('-', ' ')}",
        undone=False,
    ),
)
SCREENS = (Screen("call-sheet", "To call", "second-doses", show),)
