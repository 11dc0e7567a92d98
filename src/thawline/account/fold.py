"""
How entries become balances: the doses of one lot in one account, by day and in all.

The key is `<account>|<lot>`. A day is the local calendar date when the event occurred (the
earlier bound of an interval), so a dose typed in next morning counts on the day it was given.
"""

from msgspec import Struct

from thawline.account.postings import postings
from thawline.base.instants import local_date, zone_named
from thawline.ledger.entries import Entry
from thawline.ledger.events import Event


class DayMoves(Struct, frozen=True):
    """Doses that came to and left an account on one local date, as ISO text."""

    day: str
    came: int
    went: int


class Balance(Struct, frozen=True):
    """Doses of one lot in one account; `days` in the order of their dates."""

    doses: int
    days: tuple[DayMoves, ...] = ()

    def before(self, day: str) -> int:
        """Return the doses in the account as the local date began."""
        return sum(moves.came - moves.went for moves in self.days if moves.day < day)

    def on(self, day: str) -> DayMoves:
        """Return what came and went on the local date; zeros on a quiet day."""
        found = [moves for moves in self.days if moves.day == day]
        return found[0] if found else DayMoves(day, 0, 0)


class AccountFold:
    """The fold named "account": balances by account and lot."""

    name = "account"
    state_type = Balance

    def keys(self, event: Event) -> tuple[str, ...]:
        """Return the keys of the accounts whose doses this event changes."""
        return tuple(key_of(moved.account, moved.lot) for moved in postings(event))

    def step(self, key: str, state: Balance | None, entry: Entry) -> Balance:
        """Return the balance after the entry; unchanged where the entry moves none of it."""
        account, lot = parts_of(key)
        doses = sum(
            p.doses for p in postings(entry.event) if (p.account, p.lot) == (account, lot)
        )
        last = state or Balance(0)
        if not doses:
            return last
        day = local_date(entry.occurred.lo, zone_named(entry.zone)).isoformat()
        return Balance(last.doses + doses, _with(last.days, day, doses))


ACCOUNT = AccountFold()
"""The one account fold; it keeps no state of its own."""


def key_of(account: str, lot: str) -> str:
    """Return the fold's key of an account and lot."""
    return f"{account}|{lot}"


def parts_of(key: str) -> tuple[str, str]:
    """Return the account and the lot of a key; an account has no "|" in its name."""
    account, _, lot = key.partition("|")
    return account, lot


def _with(days: tuple[DayMoves, ...], day: str, doses: int) -> tuple[DayMoves, ...]:
    """Return the days with one more movement; nearly always it belongs to the last of them."""
    came, went = max(doses, 0), max(-doses, 0)
    if days and days[-1].day == day:
        last = days[-1]
        return (*days[:-1], DayMoves(day, last.came + came, last.went + went))
    known = {moves.day: moves for moves in days}
    old = known.get(day, DayMoves(day, 0, 0))
    known[day] = DayMoves(day, old.came + came, old.went + went)
    return tuple(known[each] for each in sorted(known))
