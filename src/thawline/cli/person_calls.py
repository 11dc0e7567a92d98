"""`thawline person sheet | called`: whom to call about a day, and what came of each call."""

from collections.abc import Sequence
from typing import Any

from thawline.app.call_sheet import Said, ToCall, call_sheet
from thawline.app.call_sheet import called as record_call
from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.base.instants import from_ms, local_date, local_time, read_date, written
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting, Where, Yes
from thawline.cli.second_pages import listed
from thawline.cli.text import NONE, UNKNOWN, counted, table
from thawline.person.follow_up import About, Result

NOBODY, NOW = Acting(), Where()
_HEAD = [
    "about",
    "person",
    "name",
    "phone",
    "language",
    "help",
    "since",
    "tries",
    "last result",
]
_CSV = [
    *("about", "day", "person", "name", "phone", "language", "help", "since", "tries"),
    *("last_result", "called_at", "result", "new_place"),
]


def sheet(
    *,
    on: str | None = None,
    about: About | None = None,
    settled: Yes = False,
    where: Where = NOW,
) -> Answer:
    """
    Say whom to call about a day: did not come, late, left early, no arm on record.

    thawline person sheet --on 2026-02-03
    thawline person sheet --on 2026-02-03 --about no-show --csv

    To print; --csv has columns to write in. Names and phones come from the register of this
    site alone, and stand nowhere in the record.

    Parameters
    ----------
    on
        The local day it is about; today if left out.
    about
        One matter alone: no-show, late, left-early or no-arm.
    settled
        Those too that a call has settled.
    """
    site = site_named(where.site)
    now = moment(where.at, site.now(), site.zone)
    day = local_date(now, site.zone) if on is None else read_date(on)
    found = [
        each
        for each in call_sheet(site, day, now, closed=settled)
        if about in (None, each.about)
    ]
    silent = [each.person for each in found if not each.contact.is_reachable]
    return Answer(
        data={"on": day.isoformat(), "calls": [_values(site, each) for each in found]},
        text=_text(site, day.isoformat(), found),
        alerts=_silent(silent),
        not_known=[f"contact of {person}" for person in silent],
        csv=[_CSV, *(_csv(site, each) for each in found)],
    )


def called(
    person: str,
    about: About,
    result: Result,
    /,
    *,
    on: str,
    place: str | None = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Record what came of a call about a day; a new place agreed on it is booked.

    thawline person called DEMO-004217 no-show no-answer --on 2026-02-03 --by Rowan
    thawline person called DEMO-004217 no-show rebooked --on 2026-02-03 \
--place 2026-02-10T10:00 --by Rowan

    No answer, a message and a wrong number leave it open; a new place settles it while it is
    to come, anything else for good. A call about what is on no sheet is kept, and said.

    Parameters
    ----------
    person
        The person's code.
    about
        no-show, late, left-early or no-arm.
    result
        no-answer, message, wrong-number, rebooked, declines, had-elsewhere, well, unwell or
        put-right.
    on
        The day it is about, as on the sheet.
    place
        The new place, as in 2026-02-10T10:00; never before day 28 for a second dose.
    """
    site = site_named(acting.site)
    new = None if place is None else moment(place, site.now(), site.zone)
    code = person.strip()
    said = Said(about, read_date(on), result, new)
    outcome = record_call(site, doing(site, acting), code, said)
    text = f"{code}, {about.value} of {on}: {result.value}"
    return recorded(outcome, site, text)


def _text(site: Site, day: str, found: Sequence[ToCall]) -> str:
    if not found:
        return f"Nobody to call about {day}."
    rows = [
        [
            *(each.about.value, each.person, each.contact.called or UNKNOWN),
            *(each.contact.phone or UNKNOWN, each.contact.language or UNKNOWN),
            *(each.needs or NONE, _since(site, each)),
            *(str(len(each.tries)), each.tries[-1].result if each.tries else NONE),
        ]
        for each in found
    ]
    return (
        f"{table(_HEAD, rows, [7])}\n{counted(len(found), 'call')} about {day}.\n"
        "Then: thawline person called PERSON ABOUT RESULT --on DAY"
    )


def _since(site: Site, each: ToCall) -> str:
    if each.about is About.LATE:
        return each.day.isoformat()
    return local_time(each.at, site.zone).isoformat(timespec="minutes")


def _csv(site: Site, each: ToCall) -> list[str]:
    contact = each.contact
    return [
        *(each.about.value, each.day.isoformat(), each.person, contact.called or ""),
        *(contact.phone or "", contact.language or "", each.needs, _since(site, each)),
        *(str(len(each.tries)), each.tries[-1].result if each.tries else "", "", "", ""),
    ]


def _values(site: Site, each: ToCall) -> dict[str, Any]:
    return {
        "about": each.about.value,
        "day": each.day.isoformat(),
        "person": each.person,
        "since": written(each.at, site.zone),
        "name": each.contact.called,
        "phone": each.contact.phone,
        "language": each.contact.language,
        "needs": each.needs or None,
        "tries": [
            {
                "at": written(from_ms(made.at_ms), site.zone),
                "by": made.by,
                "result": made.result,
            }
            for made in each.tries
        ],
    }


def _silent(people: Sequence[str]) -> tuple[Finding, ...]:
    if not people:
        return ()
    who = counted(len(people), "person", "people")
    says = f"{who} with no phone or mail here: {listed(people)}. Find another way."
    return (Finding(Level.ACT, "not-reachable", says),)
