"""
How entries become balances: the doses of one lot in one account, by day and in all.

The key is `<account>|<lot>`. A day is the local calendar date when the event occurred (the
earlier bound of an interval), so a dose typed in next morning counts on the day it was given.
A vial and a syringe also keep where their doses went, and an account keeps its last count.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from thawline.account.postings import Transfer, postings, transfers
from thawline.base.instants import local_date, to_ms, zone_named
from thawline.ledger.entries import Entry
from thawline.ledger.events import CountTaken, DoseNotFound, Event

_KEEPS_ITS_WAYS = ("vial:", "syringe:")


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

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the keys of the accounts that this event changes or counts."""
        if isinstance(event, CountTaken):
            return (key_of(event.place, event.lot),)
        return tuple(key_of(moved.account, moved.lot) for moved in postings(event))

    def step(self, key: str, state: Balance | None, entry: Entry) -> Balance:
        """Return the balance after the entry; unchanged where the entry moves none of it."""
        account, lot = parts_of(key)
        last = state or Balance(0)
        if isinstance(entry.event, CountTaken):
            return replace(last, count=_counted(last, entry, entry.event))
        moves = [moved for moved in transfers(entry.event) if moved.lot == lot]
        change = _into(account, moves) - _out_of(account, moves)
        if not change:
            return last
        day = local_date(entry.occurred.lo, zone_named(entry.zone)).isoformat()
        return Balance(
            doses=last.doses + change,
            days=_with_day(last.days, day, change),
            ways=_with_ways(last.ways, day, account, moves),
            count=_told_since(last.count, entry, change),
        )


ACCOUNT = AccountFold()
"""The one account fold; it keeps no state of its own."""


def key_of(account: str, lot: str) -> str:
    """Return the fold's key of an account and lot."""
    return f"{account}|{lot}"


def parts_of(key: str) -> tuple[str, str]:
    """Return the account and the lot of a key; an account has no "|" in its name."""
    account, _, lot = key.partition("|")
    return account, lot


def _into(account: str, moves: Iterable[Transfer]) -> int:
    return sum(moved.doses for moved in moves if moved.target == account)


def _out_of(account: str, moves: Iterable[Transfer]) -> int:
    return sum(moved.doses for moved in moves if moved.source == account)


def _counted(last: Balance, entry: Entry, event: CountTaken) -> Counted:
    """Return the count against the book; against the book it names where no account moved."""
    book = last.doses if last.days else event.book
    return Counted(to_ms(entry.occurred.hi), event.doses, event.doses - book)


def _told_since(count: Counted | None, entry: Entry, change: int) -> Counted | None:
    """Return the count with what is now known of the time before it."""
    if count is None:
        return None
    before = to_ms(entry.occurred.lo) < count.at_ms
    if before or isinstance(entry.event, DoseNotFound):
        return replace(count, off=count.off - change)
    return count


def _with_ways(
    ways: tuple[Way, ...], day: str, account: str, moves: Sequence[Transfer]
) -> tuple[Way, ...]:
    """Return where the doses of a vial or syringe went, in the order they first went there."""
    if not account.startswith(_KEEPS_ITS_WAYS):
        return ()
    sums = {(way.day, way.account): way.doses for way in ways}
    for moved in moves:
        if moved.source == account:
            sums[day, moved.target] = sums.get((day, moved.target), 0) + moved.doses
    return tuple(Way(when, target, doses) for (when, target), doses in sums.items())


def _with_day(days: tuple[DayMoves, ...], day: str, change: int) -> tuple[DayMoves, ...]:
    """Return the days with one more movement; nearly always it belongs to the last of them."""
    came, went = max(change, 0), max(-change, 0)
    if days and days[-1].day == day:
        last = days[-1]
        return (*days[:-1], DayMoves(day, last.came + came, last.went + went))
    known = {moves.day: moves for moves in days}
    old = known.get(day, DayMoves(day, 0, 0))
    known[day] = DayMoves(day, old.came + came, old.went + went)
    return tuple(known[each] for each in sorted(known))
