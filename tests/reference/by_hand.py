"""What the hand-checked examples of the reference share: stories as a few words, one day."""

from datetime import datetime

from tests.reference.vial_clocks import reckon


def story(*events, expiry="2027-08", zone="America/Chicago"):
    facts = [{"at": at, "what": what, **more} for at, what, more in map(_three, events)]
    return {"lot": "ZZ-1041", "expiry": expiry, "zone": zone, "events": facts}


def _three(event):
    return (*event, {}) if len(event) == 2 else event


def span(earliest, latest):
    return {"from": earliest, "to": latest}


def at(text):
    return datetime.fromisoformat(text)


def use_by(events, rules, asked):
    answer = reckon(story(*events), rules, at(asked))
    return answer["use_by"], answer["set_by"]


CHILLED = {
    "as": "chilled",
    "thawed_at": "2026-02-02T04:00:00-06:00",
    "room_used_min": 0,
    "transport_used_min": 0,
    "trips_used": 0,
}
TO_FRIDGE = ("2026-02-03T04:00:00-06:00", "to-fridge")
TO_TABLE = ("2026-02-03T06:35:00-06:00", "to-table")
OPENED = ("2026-02-03T07:02:00-06:00", "open")
WORKED = story(TO_FRIDGE, TO_TABLE, OPENED, expiry="2026-08")
