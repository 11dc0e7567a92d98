"""
A vial's story: lot, expiry, place and the facts of its handling, as they were written down.

A story is facts. It may break every rule; what that means is said by `reckon`. Only what
cannot be a fact at all is refused here: a time without an offset, an unknown word.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from thawline.base.errors import RecordError
from thawline.base.instants import Occurred, read_instant, zone_named
from thawline.vial.expiry import read_expiry

T = TypeVar("T")


class What(StrEnum):
    """What was done to the vial, in the words of a story."""

    ARRIVE = "arrive"
    TO_FREEZER = "to-freezer"
    TO_FRIDGE = "to-fridge"
    TO_TABLE = "to-table"
    WARMED = "warmed"
    OPEN = "open"
    DRAW = "draw"
    TRANSPORT_START = "transport-start"
    TRANSPORT_END = "transport-end"
    HOLD = "hold"
    RELEASE = "release"
    DISCARD = "discard"
    FLAG = "flag"


@dataclass(frozen=True, slots=True)
class History:
    """What a chilled arrival brings with it; None: not known."""

    thawed_at: Occurred | None = None
    room_used: timedelta | None = None
    transport_used: timedelta | None = None
    trips_used: int | None = None

    def missing(self) -> tuple[str, ...]:
        """Return the names of what is not known, as a story writes them."""
        named = {
            "thawed_at": self.thawed_at,
            "room_used_min": self.room_used,
            "transport_used_min": self.transport_used,
            "trips_used": self.trips_used,
        }
        return tuple(name for name, value in named.items() if value is None)


@dataclass(frozen=True, slots=True)
class Fact:
    """
    One thing done to the vial; `by` is how it was carried, `history` only on an arrival.

    `of_lot`: a hold or release of its whole lot, which only its own kind ends.
    """

    what: What
    when: Occurred
    doses: int = 0
    by: str | None = None
    room_c: Decimal | None = None
    why: str = ""
    history: History | None = None
    of_lot: bool = False


@dataclass(frozen=True, slots=True)
class Story:
    """The facts of one vial in the order written down; `last_day` None: expiry not known."""

    lot: str
    last_day: date | None
    zone: ZoneInfo
    facts: tuple[Fact, ...]


_STORY_KEYS = {"lot", "expiry", "zone", "events", "vial"}
_HISTORY_KEYS = {"thawed_at", "room_used_min", "transport_used_min", "trips_used"}
_FACT_KEYS = {"at", "what", "as", "doses", "by", "room_c", "why"} | _HISTORY_KEYS


def read_story(written: Mapping[str, Any]) -> Story:
    """
    Return the story written in the JSON form of the command line.

    Raises:
        RecordError: Something in it cannot be a fact; names the event and the value.
    """
    _known_keys(written, _STORY_KEYS, "story")
    for key in ("lot", "expiry", "zone", "events"):
        if key not in written:
            raise RecordError(f"the story has no {key!r}", advice=f"add {key!r} to the story")
    events = _a(list, written["events"], "events")
    facts = tuple(_fact(number, event) for number, event in enumerate(events, 1))
    if sum(fact.what is What.ARRIVE for fact in facts) > 1:
        raise RecordError("the vial arrives twice", advice="keep one 'arrive' in the story")
    return Story(
        lot=_a(str, written["lot"], "lot"),
        last_day=read_expiry(_a(str, written["expiry"], "expiry")),
        zone=zone_named(_a(str, written["zone"], "zone")),
        facts=facts,
    )


def _fact(number: int, event: object) -> Fact:
    where = f"event {number}"
    event = _a(dict, event, where)
    _known_keys(event, _FACT_KEYS, where)
    try:
        what = What(event.get("what", ""))
    except ValueError as error:
        raise RecordError(
            f"{where}: unknown 'what': {event.get('what')!r}",
            advice="use one of " + ", ".join(What),
        ) from error
    if what is What.DRAW and "doses" not in event:
        raise RecordError(f"{where}: a draw has no 'doses'", advice="say how many doses")
    return Fact(
        what=what,
        when=_when(event.get("at"), where),
        doses=_count(event.get("doses", 0), f"{where}: doses"),
        by=None if event.get("by") is None else _a(str, event["by"], f"{where}: by"),
        room_c=_degrees(event.get("room_c"), where),
        why=_a(str, event.get("why", ""), f"{where}: why"),
        history=_history(event, what, where),
    )


def _history(event: Mapping[str, Any], what: What, where: str) -> History | None:
    arrived_as = event.get("as")
    if what is not What.ARRIVE:
        if stray := (_HISTORY_KEYS | {"as"}) & event.keys():
            raise RecordError(f"{where}: only an arrival has {', '.join(sorted(stray))}")
        return None
    if arrived_as not in ("frozen", "chilled"):
        raise RecordError(
            f"{where}: an arrival as {arrived_as!r}", advice="write 'as' frozen or chilled"
        )
    if arrived_as == "frozen":
        return None
    history = History(
        thawed_at=None if event.get("thawed_at") is None else _when(event["thawed_at"], where),
        room_used=_minutes(event.get("room_used_min"), f"{where}: room_used_min"),
        transport_used=_minutes(
            event.get("transport_used_min"), f"{where}: transport_used_min"
        ),
        trips_used=_maybe_count(event.get("trips_used"), f"{where}: trips_used"),
    )
    if history.thawed_at and history.thawed_at.lo > _when(event.get("at"), where).hi:
        raise RecordError(f"{where}: thawed at {event['thawed_at']!r}, after it arrived")
    return history


def _when(written: object, where: str) -> Occurred:
    if isinstance(written, Mapping):
        _known_keys(written, {"from", "to"}, where)
        ends = [written.get("from"), written.get("to")]
    else:
        ends = [written, written]
    lo, hi = (read_instant(_a(str, end, f"{where}: at")) for end in ends)
    return Occurred(lo, hi)


def _minutes(written: object, where: str) -> timedelta | None:
    count = _maybe_count(written, where)
    return None if count is None else timedelta(minutes=count)


def _maybe_count(written: object, where: str) -> int | None:
    return None if written is None else _count(written, where)


_MOST = 1_000_000


def _count(written: object, where: str) -> int:
    if isinstance(written, bool) or not isinstance(written, int) or not 0 <= written <= _MOST:
        raise RecordError(f"{where} is not a whole number from 0 on: {written!r}")
    return written


_COLDEST_C, _WARMEST_C = Decimal(-100), Decimal(60)


def _degrees(written: object, where: str) -> Decimal | None:
    if written is None:
        return None
    try:
        value = Decimal(str(written))
    except InvalidOperation as error:
        raise RecordError(f"{where}: room_c is not a temperature: {written!r}") from error
    if not value.is_finite() or not _COLDEST_C <= value <= _WARMEST_C:
        raise RecordError(
            f"{where}: room_c is not between minus 100 and 60 °C: {written!r}",
            advice="write degrees Celsius, as in 21.5",
        )
    return value


def _a(kind: type[T], value: object, where: str) -> T:
    if not isinstance(value, kind):
        raise RecordError(f"{where}: expected {kind.__name__}, found {value!r}")
    return value


def _known_keys(written: Mapping[str, Any], known: set[str], where: str) -> None:
    if unknown := set(written) - known:
        raise RecordError(
            f"{where}: unknown {', '.join(map(repr, sorted(map(str, unknown))))}",
            advice="use only " + ", ".join(sorted(known)),
        )
