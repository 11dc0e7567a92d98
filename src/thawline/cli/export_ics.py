"""`thawline export ics` and `thawline second remind`: appointments for people."""

from collections.abc import Sequence
from typing import Literal

from thawline.adapters import sites
from thawline.adapters.whole_files import write_calendar
from thawline.app.appointments import Reminded, appointment_of, appointments_on
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import read_date, written
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.surroundings import home
from thawline.cli.text import counted, wrapped
from thawline.exchange.appointments import DRAFT_LANGUAGES, calendar_file, reminder

Language = Literal["en", "es"]


def ics(
    person: str, *, out: str, language: Language | None = None, site: str | None = None
) -> Answer:
    """
    Write a person's appointment for the second dose as a calendar file (RFC 5545).

    thawline export ics DEMO-000001 --out appointment.ics
    thawline export ics DEMO-000001 --out cita.ics --language es --site quillbeck

    It says where and when, and nothing about health. Moved, it replaces itself in a calendar.

    Parameters
    ----------
    person
        The person's code.
    out
        The file; it ends in .ics.
    language
        en or es; the person's own if left out, English where that is not known.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    found = appointment_of(place, _title(place), person)
    spoken = language or found.language
    try:
        write_calendar(out, calendar_file(found.appointment, spoken))
    except OSError as error:
        raise RecordError(f"cannot write {out!r}: {error.strerror}") from error
    return Answer(
        data={
            "person": person,
            "file": out,
            "slot": written(found.appointment.starts, found.appointment.zone),
            "language": spoken,
            "draft": spoken in DRAFT_LANGUAGES,
        },
        text=f"Written: {out}",
        alerts=_drafts([spoken]),
        not_known=[] if language else _not_said([found]),
    )


def remind(*, on: str | None = None, site: str | None = None) -> Answer:
    """
    List the reminders for second doses, each in the person's language; sends nothing.

    thawline second remind --on 2026-03-07
    thawline second remind --csv

    Parameters
    ----------
    on
        The day of the appointments; all from today on if left out.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    found = appointments_on(place, _title(place), None if on is None else read_date(on))
    rows = [_row(each) for each in found]
    pages = [wrapped(f"{row[0]} {row[2] or 'no phone'}: {row[4]}", indent=2) for row in rows]
    people = counted(len(found), "appointment")
    return Answer(
        data={"reminders": [dict(zip(_KEYS, row, strict=True)) for row in rows]},
        text="\n".join([*pages, f"{people}. Nothing is sent by this tool."]),
        alerts=[*_drafts([each.language for each in found]), *_silent(found)],
        not_known=_not_said(found),
        csv=[_KEYS, *rows],
    )


_KEYS = ("person", "slot", "phone", "language", "text")


def _row(each: Reminded) -> list[str]:
    return [
        each.person,
        written(each.appointment.starts, each.appointment.zone),
        each.contact.phone or "",
        each.language,
        reminder(each.appointment, each.language),
    ]


def _title(site: Site) -> str:
    return sites.read_settings(sites.folder_of(home(), site.name)).title


def _drafts(languages: Sequence[str]) -> list[Finding]:
    drafts = sorted(DRAFT_LANGUAGES.intersection(languages))
    says = "nobody has reviewed these words yet: have a speaker read them before they go out."
    return [Finding(Level.CHECK, "draft-words", f"Language {each}: {says}") for each in drafts]


def _silent(found: Sequence[Reminded]) -> list[Finding]:
    silent = [each.person for each in found if not each.contact.is_reachable]
    if not silent:
        return []
    says = f"{counted(len(silent), 'person', 'people')} with no phone or mail here"
    return [Finding(Level.ACT, "not-reachable", f"{says}: {', '.join(silent)}.")]


def _not_said(found: Sequence[Reminded]) -> list[str]:
    return [f"language of {e.person}" for e in found if e.language != e.language_said]
