"""What `thawline dose find` shows: a person's doses, and people with no dose recorded."""

from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from thawline.app import doses
from thawline.app.ports import Site
from thawline.base.instants import from_ms, local_date, written
from thawline.cli.answers import Answer
from thawline.cli.text import NONE, clock_time, table


def rows(each: doses.Found, zone: ZoneInfo, today: date) -> list[list[str]]:
    """Return a row for each dose of a person: first those told from a card, then those here."""
    called = each.name.called if each.name else "?"
    told = [
        [each.person, called, "?", card.given_on, card.lot or "?", "told from a card"]
        for card in each.state.told
    ]
    here = [
        [
            each.person,
            called,
            str(dose.dose_number),
            clock_time(from_ms(dose.lo_ms), zone, today),
            dose.lot or "?",
            dose.syringe or dose.vial or "?",
        ]
        for dose in each.state.doses
    ]
    return told + here


def unrecorded(place: Site) -> Answer:
    """Return the people who were checked and have neither a dose nor "none" on record."""
    waiting = doses.unrecorded(place)
    today = local_date(place.now(), place.zone)
    rows = [
        [e.person, clock_time(e.at, place.zone, today), e.station or NONE, e.syringe or NONE]
        for e in waiting
    ]
    shown = table(["person", "checked", "station", "syringe"], rows)
    data = [
        {
            "person": e.person,
            "checked_at": written(e.at, place.zone),
            "station": e.station or None,
            "syringe": e.syringe,
        }
        for e in waiting
    ]
    none_left = "Everybody who was checked has a dose, or none, on record"
    return Answer({"unrecorded": data}, shown if rows else none_left, found=bool(rows))


def person(each: doses.Found, zone: ZoneInfo) -> dict[str, Any]:
    """Return the JSON form of a person and the doses they had."""
    return {
        "person": each.person,
        "name": each.name.called if each.name else None,
        "born": each.name.born if each.name else None,
        "doses": [
            {
                "dose_number": dose.dose_number,
                "given_from": written(from_ms(dose.lo_ms), zone),
                "given_to": written(from_ms(dose.hi_ms), zone),
                "lot": dose.lot,
                "syringe": dose.syringe,
                "vial": dose.vial,
                "arm": dose.arm,
                "codes": list(dose.codes),
                "entry": dose.entry,
            }
            for dose in each.state.doses
        ],
        "told": [
            {"given_on": told.given_on, "lot": told.lot, "product": told.product}
            for told in each.state.told
        ],
    }
