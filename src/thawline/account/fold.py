"""
How entries become balances: the doses of one lot in one account, by day and in all.

The key is `<account>|<lot>`. A day is the local calendar date when the event occurred (the
earlier bound of an interval), so a dose typed in next morning counts on the day it was given.
A vial and a syringe also keep where their doses went, and an account keeps its last count.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from thawline.account.postings import MOVE_DOSES, Transfer, transfers
from thawline.base.instants import from_ms, local_date, zone_named
from thawline.ledger.entries import Entry
from thawline.ledger.events import CountTaken, DoseNotFound, Event

_KEEPS_ITS_WAYS = ("vial:", "syringe:")
_QUARTER_HOUR_S = 15 * 60  # local midnights fall on quarters of an hour in every zone of today


class DayMoves(Struct, frozen=True):
    """Doses that came to and left an account on one local date, as ISO text."""

    day: str
    came: int
    went: int


class Way(Struct, frozen=True):
    """Doses that went from a vial or syringe to another account on one local date."""

    day: str
    account: str
    doses: int


class Counted(Struct, frozen=True):
    """
    The last physical count of an account.

    `off` is what was counted less what the book held then: below zero, doses were not there.
    What is recorded later about the time before the count, or as not found, changes it.
    """

    at_ms: int
    doses: int
    off: int


class Balance(Struct, frozen=True, omit_defaults=True):
    """Doses of one lot in one account; `days` in the order of their dates."""

    doses: int
    days: tuple[DayMoves, ...] = ()
    ways: tuple[Way, ...] = ()
    count: Counted | None = None

    def before(self, day: str) -> int:
        """Return the doses in the account as the local date began."""
        return sum(moves.came - moves.went for moves in self.days if moves.day < day)

    def between(self, first: str, last: str) -> DayMoves:
        """Return what came and went from one local date to another, both included."""
        within = [moves for moves in self.days if first <= moves.day <= last]
        return DayMoves(first, sum(m.came for m in within), sum(m.went for m in within))


class AccountFold:
    """The fold named "account": balances by account and lot."""

    name = "account"
    state_type = Balance

    @property
    def kinds(self) -> frozenset[type[Event]]:
        """Return the events that can touch one."""
        return MOVE_DOSES | {CountTaken}

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the keys of the accounts that this event changes or counts."""
        if isinstance(event, CountTaken):
            return (key_of(event.place, event.lot),)
        return tuple(_moved(event).changes) if type(event) in MOVE_DOSES else ()

    def step(self, key: str, state: Balance | None, entry: Entry) -> Balance:
        """Return the balance after the entry; unchanged where the entry moves none of it."""
        last, event = state or Balance(0), entry.event
        if isinstance(event, CountTaken):
            return replace(last, count=_counted(last, entry, event))
        moved = _moved(event)
        change = moved.changes.get(key, 0)
        if not change:
            return last
        day = _day(int(entry.occurred.lo.timestamp()) // _QUARTER_HOUR_S, entry.zone)
        return Balance(
            last.doses + change,
            _with_day(last.days, day, change),
            _with_ways(last.ways, day, moved.out_of.get(key, ())),
            last.count and _told_since(last.count, entry, change),
        )


ACCOUNT = AccountFold()
"""The one account fold; it keeps no state of its own."""


def key_of(account: str, lot: str) -> str:
    """Return the fold's key of an account and lot."""
    return f"{account}|{lot}"


@lru_cache(maxsize=65_536)  # a balance asks for each account's many times
def parts_of(key: str) -> tuple[str, str]:
    """Return the account and the lot of a key; an account has no "|" in its name."""
    account, _, lot = key.partition("|")
    return account, lot


class _Moved(NamedTuple):
    """What an event changes, by key, and what it takes out of the vials and syringes."""

    changes: Mapping[str, int]
    out_of: Mapping[str, list[Transfer]]


@lru_cache(maxsize=16)
def _moved(event: Event) -> _Moved:
    """Return the event's movements by key; they are asked for once for each of its keys."""
    changes: dict[str, int] = {}
    out_of: dict[str, list[Transfer]] = {}
    for moved in transfers(event):
        source, target = key_of(moved.source, moved.lot), key_of(moved.target, moved.lot)
        changes[source] = changes.get(source, 0) - moved.doses
        changes[target] = changes.get(target, 0) + moved.doses
        if source.startswith(_KEEPS_ITS_WAYS):
            out_of.setdefault(source, []).append(moved)
    return _Moved({key: doses for key, doses in changes.items() if doses}, out_of)


@lru_cache(maxsize=4096)
def _day(quarter_hour: int, zone: str) -> str:
    """Return the local date, as ISO text, of a quarter of an hour counted from 1970 in UTC."""
    at = from_ms(quarter_hour * _QUARTER_HOUR_S * 1000)
    return local_date(at, zone_named(zone)).isoformat()


def _counted(last: Balance, entry: Entry, event: CountTaken) -> Counted:
    """Return the count against the book; against the book it names where no account moved."""
    book = last.doses if last.days else event.book
    return Counted(entry.hi_ms, event.doses, event.doses - book)


def _told_since(count: Counted, entry: Entry, change: int) -> Counted:
    """Return the count with what is now known of the time before it."""
    before = entry.lo_ms < count.at_ms
    if before or isinstance(entry.event, DoseNotFound):
        return replace(count, off=count.off - change)
    return count


def _with_ways(ways: tuple[Way, ...], day: str, out: Sequence[Transfer]) -> tuple[Way, ...]:
    """Return where the doses of a vial or syringe went, in the order they first went there."""
    for moved in out:
        ways = _with_way(ways, Way(day, moved.target, moved.doses))
    return ways


def _with_way(ways: tuple[Way, ...], new: Way) -> tuple[Way, ...]:
    for place, way in enumerate(ways):
        if way.account == new.account and way.day == new.day:
            more = Way(new.day, new.account, way.doses + new.doses)
            return (*ways[:place], more, *ways[place + 1 :])
    return (*ways, new)


def _with_day(days: tuple[DayMoves, ...], day: str, change: int) -> tuple[DayMoves, ...]:
    """Return the days with one more movement; nearly always it belongs to the last of them."""
    came, went = max(change, 0), max(-change, 0)
    if not days or days[-1].day < day:
        return (*days, DayMoves(day, came, went))
    if days[-1].day == day:
        last = days[-1]
        return (*days[:-1], DayMoves(day, last.came + came, last.went + went))
    known = {moves.day: moves for moves in days}
    old = known.get(day, DayMoves(day, 0, 0))
    known[day] = DayMoves(day, old.came + came, old.went + went)
    return tuple(known[each] for each in sorted(known))
