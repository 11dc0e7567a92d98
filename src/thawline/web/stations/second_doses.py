"""Second doses: who is due and late, which days have how many, and places moved with proof."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time

from django.http import HttpRequest, HttpResponse

from thawline.app import second_places
from thawline.app.acts import Doing, Outcome
from thawline.app.ports import Name, Site
from thawline.app.second import due_on
from thawline.app.second_calendar import calendar
from thawline.base.errors import RecordError
from thawline.base.instants import exactly, read_date
from thawline.draw.second_days import second_days_svg
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved
from thawline.plan.capacity import places_on
from thawline.rebook.due import SecondDue, Standing
from thawline.web.acts import Form, PageAct
from thawline.web.around import Around, around
from thawline.web.here import title
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.seen import name_of, unseen

_MOST = 60
_NOON = time(12)
_PLACES = re.compile(r"(\d{4}-\d{2}-\d{2})(?:=(\d{1,6}))?", re.ASCII)


class Moved(Form, frozen=True):
    """Places by day, as "2026-03-07=270 2026-03-09"; `left`: the day that cannot be kept."""

    places: str
    left: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """Somebody whose second dose is due, with the name where it may be seen."""

    due: SecondDue
    name: Name | None


def show(request: HttpRequest) -> HttpResponse:
    """Return who is due, the days, and on request the proof of a move before it is recorded."""
    with around(request) as round_:
        day, found = due_on(round_.site, round_.today)
        late = [each for each in found.due if each.standing is Standing.LATE]
        waiting = [each for each in found.due if each.standing is not Standing.LATE]
        shown = calendar(round_.site, title(), round_.view, round_.today)
        told = {
            "day": day,
            "late": _named(round_, late[:_MOST]),
            "late_count": len(late),
            "waiting": _named(round_, waiting[:_MOST]),
            "waiting_count": len(waiting),
            "most": _MOST,
            "not_known": found.not_known,
            "picture": second_days_svg(shown),
            **(_tried(round_, request.POST) if request.method == "POST" else {}),
        }
        return page(request, round_, "second-doses", told)


def _named(round_: Around, people: list[SecondDue]) -> list[Due]:
    return [Due(each, name_of(round_, each.person)) for each in people]


def _tried(round_: Around, sent: Mapping[str, str]) -> dict[str, object]:
    """Return what a move or new places would come to; nothing is recorded."""
    form = Moved(sent.get("places", "").strip(), sent.get("left", "").strip())
    doing = Doing(
        by=round_.who.name,
        occurred=exactly(round_.at),
        recorded_at=round_.at,
        id=round_.site.mint(),
        dry_run=True,
    )
    planned = _planned(round_.site, doing, form)
    contacts = {each: second_places.contact_of(unseen(), each) for each in planned.slots}
    return {
        "tried": form,
        "planned": planned,
        "unreachable": sorted(who for who, each in contacts.items() if not each.is_reachable),
        "longest": max((each.waited for each in planned.assignment.given), default=0),
    }


def places_in(site: Site, text: str) -> dict[date, int]:
    """
    Return the places by day as typed; a day without a number has those of the site's settings.

    Raises:
        RecordError: It cannot be read, or the settings do not say.
    """
    found: dict[date, int] = {}
    for each in text.replace(",", " ").split():
        match = _PLACES.fullmatch(each)
        if match is None:
            raise RecordError(f"not places on a day: {each!r}", advice="as in 2026-03-07=270")
        day = read_date(match[1])
        known = site.second_places
        found[day] = int(match[2]) if match[2] else places_on(known, day, site.name)
    return found


def _planned(site: Site, doing: Doing, form: Moved) -> second_places.Planned:
    places = places_in(site, form.places)
    if form.left:
        return second_places.move_places(site, doing, read_date(form.left), places)
    return second_places.assign(site, doing, places, _NOON)


def _move(site: Site, doing: Doing, form: Moved) -> Outcome:
    outcome = _planned(site, doing, form).outcome
    if outcome is None:
        raise RecordError("nobody is to be placed", advice="look at the day and the list")
    return outcome


def _says(form: Moved, outcome: Outcome) -> str:
    event = outcome.event
    of_places = SecondDosesAssigned | SecondDosesMoved
    count = len(event.people) if isinstance(event, of_places) else 0
    places = "1 place" if count == 1 else f"{count} places"
    return f"{places} moved from {form.left}" if form.left else f"{places} given"


ACTS = (PageAct("move-places", "second-doses", Moved, _move, _says),)
SCREENS = (Screen("second-doses", "Second doses", "second-doses", show, asks=True),)
