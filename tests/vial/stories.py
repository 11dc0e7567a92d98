"""
Stories of one vial on Tuesday 3 February 2026, and the small made-up protocol to judge them.

A fact is written as "06:35 to-table"; "4/06:35 to-table" is on the fourth; "06:30-06:40 open"
is an interval. More of a fact follows as key=value, as in "07:10 draw doses=2".
"""

import json
import re
from datetime import datetime, timedelta

from msgspec.structs import replace
from tests.cast import at, small

from thawline.base.instants import Instant, instant, written
from thawline.rules.protocol import AfterOpening, Protocol
from thawline.vial.reckon import Reckoning, reckon
from thawline.vial.standing import standing
from thawline.vial.story import Story, read_story

EXPIRY = "2026-08"
CHICAGO = "America/Chicago"


def moment(text: str) -> Instant:
    """Return "06:35" on the third, or "4/06:35" on the fourth."""
    day, slash, clock = text.rpartition("/")
    return at(clock, int(day) if slash else 3)


def fact(text: str) -> dict:
    """Return the fact written in one line, as a story has it."""
    when, what, *more = text.split(" ")
    ends = [written(moment(end)) for end in when.split("-")]
    told = {"at": ends[0] if len(ends) == 1 else dict(zip(("from", "to"), ends, strict=True))}
    for each in more:
        key, _, value = each.partition("=")
        told[key] = _value(value)
    return {**told, "what": what}


def _value(text: str):
    if re.fullmatch(r"[\d/]+:[\d:.]+", text):
        return written(moment(text))
    return json.loads(text) if re.fullmatch(r"null|-?\d+(\.\d+)?", text) else text


def story(*facts: str, expiry: str = EXPIRY, zone: str = CHICAGO) -> Story:
    """Return the story of these facts."""
    events = [fact(each) for each in facts]
    return read_story({"lot": "ZZ-1041", "expiry": expiry, "zone": zone, "events": events})


def asked(clock: str, *facts: str, rules: Protocol | None = None, **more) -> Reckoning:
    """Return what the small protocol, or another, says of these facts at a wall-clock time."""
    return reckon(story(*facts, **more), rules or SMALL, moment(clock))


def under(versions, clock: str, *facts: str) -> Reckoning:
    """Return what several versions make of these facts."""
    return standing(story(*facts), versions, moment(clock))


def version(number: int, day: int, clock: str = "06:00", **figures: str) -> Protocol:
    """Return a version of the small protocol that counts from a time in February."""
    starts = instant(datetime.fromisoformat(f"2026-02-{day:02}T{clock}-06:00"))
    file = small(version=number, effective_from=written(starts), **figures)
    return file.protocol


def stops_on_opening(protocol: Protocol) -> Protocol:
    """Return the protocol with a room clock that counts no time once the vial is open."""
    room = replace(protocol.clocks["room"], after_open=AfterOpening.STOPS)
    return replace(protocol, clocks={**protocol.clocks, "room": room})


def clock(found: Reckoning, name: str):
    """Return one running clock of a reckoning."""
    return next(each for each in found.clocks if each.clock == name)


def found_codes(found: Reckoning) -> list[str]:
    """Return the codes of the findings, worst first."""
    return [each.code for each in found.findings]


SMALL = small().protocol
MS = timedelta(milliseconds=1)
THAWED = ("04:00 to-fridge", "06:35 to-table")
OPEN = (*THAWED, "07:00 open")
