"""
The words that events about people may hold, and the forms of their dates and counts.

An entry that is corrected must not come to say what nobody can read: a state that is worked
out from it would fail for everybody. A test compares the words with those that are typed.
"""

import re
from collections.abc import Mapping
from datetime import date

from thawline.ledger.events import Event
from thawline.ledger.observation_events import KitChecked, MomentStamped
from thawline.ledger.person_events import (
    ConsentAnswered,
    FollowUpCalled,
    PersonArrived,
    SecondDosesTakenOver,
)
from thawline.ledger.screening_events import ScreeningAnswered, ScreeningCleared
from thawline.ledger.standby_events import StandbyCalled

_IDENTIFIERS = ("name", "born", "phone")
_OUTCOMES = ("contraindicated", "refer", "not-given", "not-today", "give-30", "give-15")
WORDS: Mapping[tuple[type[Event], str], tuple[str, ...]] = {
    (PersonArrived, "agreed"): _IDENTIFIERS,
    (PersonArrived, "differed"): _IDENTIFIERS,
    (ConsentAnswered, "answer"): ("yes", "no", "withdrawn"),
    (ConsentAnswered, "whose"): ("self", "guardian", "surrogate"),
    (FollowUpCalled, "about"): ("no-show", "late", "left-early", "no-arm"),
    (FollowUpCalled, "result"): (
        *("rebooked", "declines", "had-elsewhere", "well", "unwell", "put-right"),
        *("no-answer", "message", "wrong-number"),
    ),
    (StandbyCalled, "answer"): ("comes", "no", "no-answer"),
    (ScreeningAnswered, "outcome"): _OUTCOMES,
    (ScreeningCleared, "outcome"): _OUTCOMES,
    (MomentStamped, "what"): ("given", "called", "crew", "down", "up"),
}
"""By kind of event and field: the words, for a field with several of each of them."""

_DATES = {
    (FollowUpCalled, "day"),
    (ScreeningAnswered, "until"),
    (ConsentAnswered, "edition"),
    (ConsentAnswered, "given_on"),
    (SecondDosesTakenOver, "first_on"),
}
"""Fields that hold a date as 2026-02-03, or nothing."""
_COUNTED = {(KitChecked, "doses")}
_COUNT = re.compile(r"\d{1,3}@(.+)", re.ASCII)


def unfit_word(event: Event, name: str) -> tuple[str, str] | None:
    """Return the value of a field that no such event may hold, and what it may; None if fit."""
    key, value = (type(event), name), getattr(event, name)
    values = value if isinstance(value, tuple) else (value,) if value else ()
    for each in values:
        if key in WORDS and each not in WORDS[key]:
            return each, f"one of {', '.join(WORDS[key])}"
        if key in _DATES and not _is_date(each):
            return each, "write it as 2026-02-03"
        if key in _COUNTED and not _is_count(each):
            return each, "write it as 3@2026-08-31"
    return ("", f"one of {', '.join(WORDS[key])}") if key in WORDS and value == "" else None


def _is_count(text: str) -> bool:
    match = _COUNT.fullmatch(text)
    return match is not None and _is_date(match.group(1))


def _is_date(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
