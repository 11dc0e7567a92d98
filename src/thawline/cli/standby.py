"""`thawline standby`: who would come at short notice, whom to call, and the answer."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from cyclopts import App

from thawline.app import standby as use
from thawline.app.ports import Name
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_date, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting, Where
from thawline.cli.text import UNKNOWN, clock_time, counted, table, wrapped
from thawline.person.standby import Answered

app = App(name="standby", help="The standby list: add a name, whom to call now, the answer.")
NOBODY, NOW = Acting(), Where()
_HEAD = ["place", "person", "name", "phone", "priority", "on list since", "here at"]


@app.command
def add(
    person: str,
    /,
    *,
    travel_min: int,
    priority: int | None = None,
    name: str = "",
    phone: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    Put somebody on the standby list; the same person again keeps their place.

    thawline standby add DEMO-010001 --travel-min 12 --by Sorrel
    thawline standby add DEMO-010002 --travel-min 5 --name "Bryony Testwick" --by Sorrel

    The name and number are kept apart from the record, which holds the code alone.

    Parameters
    ----------
    person
        The person's code.
    travel_min
        Minutes from the call to being here.
    priority
        As the site sets it: 1 is called first; left out, after those who have one.
    name
        Needed for somebody who is not known here.
    phone
        The number to call.
    """
    site = site_named(acting.site)
    code = person.strip()
    if phone and not name:
        raise RecordError("a phone number without a name", advice="add --name NAME")
    kept = Name(name.strip(), phone=phone.strip()) if name.strip() else None
    outcome = use.add(site, doing(site, acting), code, use.Told(travel_min, priority, kept))
    return recorded(outcome, site, f"{code} is on the standby list, {travel_min} min away")


@app.command
def answer(person: str, says: Answered, /, *, acting: Acting = NOBODY) -> Answer:
    """
    Record what a call came to: comes, no, or no-answer; they are not called again today.

    thawline standby answer DEMO-010001 comes --by Sorrel
    thawline standby answer DEMO-010002 no-answer --at 17:26 --by Sorrel

    Parameters
    ----------
    person
        The person's code.
    says
        What came of the call.
    """
    site = site_named(acting.site)
    code = person.strip()
    outcome = use.answered(site, doing(site, acting), code, says)
    return recorded(outcome, site, f"{code}: {says.value}")


@app.command(name="next")
def whom(*, doses: int | None = None, where: Where = NOW) -> Answer:
    """
    Say whom to call now for doses left over, in the list's order; records nothing.

    thawline standby next
    thawline standby next --doses 3 --at 17:25

    The order: the site's priority, then time of entry. Who cannot be here before the use-by
    is passed over; who was called today is not called again.

    Parameters
    ----------
    doses
        Doses for people on the list; left out, those in open vials that nobody booked needs.
    """
    site = site_named(where.site)
    now = moment(where.at, site.now(), site.zone)
    found = use.next_calls(site, now, doses)
    rows = [_cells(each, site.zone, local_date(now, site.zone)) for each in found.calls]
    text = _text(found, rows, now, site.zone)
    return Answer(_data(found, site.zone), text, csv=[_HEAD, *rows])


def _data(found: use.Next, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "doses": found.doses,
        "spare_doses": found.spare,
        "use_by": _written(found.use_by, zone),
        "close": _written(found.close, zone),
        "calls": [_row(each, zone) for each in found.calls],
        "on_list": found.on_list,
        "too_far": found.too_far,
        "on_the_way": found.on_the_way,
    }


def _text(found: use.Next, rows: list[list[str]], now: Instant, zone: ZoneInfo) -> str:
    ends = clock_time(found.use_by, zone, local_date(now, zone))
    says = wrapped(
        f"{counted(found.doses, 'dose')} for the standby list"
        f"{'' if found.use_by is None else f', to be used before {ends}'}. "
        f"{found.on_list} on the list not called today, {found.too_far} of them too far "
        f"away, {found.on_the_way} on the way."
    )
    if not rows:
        return f"{says}\nNobody to call now."
    then = "Then: thawline standby answer PERSON comes|no|no-answer"
    return "\n".join([says, table(_HEAD, rows, [0]), then])


def _cells(each: use.ToCall, zone: ZoneInfo, today: date) -> list[str]:
    name = each.name
    return [
        str(each.place),
        each.waiting.person,
        UNKNOWN if name is None else name.called,
        UNKNOWN if name is None or not name.phone else name.phone,
        "-" if each.waiting.priority is None else str(each.waiting.priority),
        clock_time(each.waiting.added, zone, today),
        clock_time(each.waiting.here_at, zone, today),
    ]


def _written(when: Instant | None, zone: ZoneInfo) -> str | None:
    return None if when is None else written(when, zone)


def _row(each: use.ToCall, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "place": each.place,
        "person": each.waiting.person,
        "name": None if each.name is None else each.name.called,
        "phone": None if each.name is None else each.name.phone,
        "priority": each.waiting.priority,
        "on_list_since": written(each.waiting.added, zone),
        "here_at": written(each.waiting.here_at, zone),
    }
