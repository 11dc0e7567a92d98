"""
Does it balance? The doses of a lot, a vial, a day or the whole site, from the account fold.

Opening + received + extra = left + given + wasted + missing + sent. What is in stock, in vials
and in syringes is left; an account that is none of these counts as left too, so that a dose
booked to a place nobody knows shows up there, below zero.
See docs/background/dose-accounts.md.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import astuple, dataclass
from functools import lru_cache

from thawline.account.fold import Balance, Way, parts_of
from thawline.account.postings import (
    EXTRA,
    GIVEN,
    MISSING,
    OUTSIDE,
    SYRINGE,
    TRANSIT,
    VIAL,
    WASTED,
)
from thawline.base.findings import Finding, Level

Balances = Mapping[str, Balance]
"""Every balance of the account fold by its key, `<account>|<lot>`."""

_GONE = frozenset({GIVEN, WASTED, MISSING, TRANSIT, EXTRA, OUTSIDE})
_MAY_BE_BELOW_ZERO = frozenset({EXTRA, OUTSIDE})
FIRST_DAY, LAST_DAY = "", "~"  # before and after every ISO date


@dataclass(frozen=True, slots=True)
class Sheet:
    """Doses over a time: what there was, what came, and where it all is at the end."""

    opening: int
    received: int
    extra: int
    given: int
    wasted: int
    missing: int
    sent: int
    left: int

    def __add__(self, other: "Sheet") -> "Sheet":
        """Return the sheet of both together, of other doses in the same time."""
        return Sheet(*(sum(pair) for pair in zip(astuple(self), astuple(other), strict=True)))

    @property
    def balances(self) -> bool:
        """Say whether what there was and what came is where it is said to be."""
        there = self.opening + self.received + self.extra
        return there == self.left + self.given + self.wasted + self.missing + self.sent


NOTHING = Sheet(*[0] * 8)


@dataclass(frozen=True, slots=True)
class VialSheet:
    """
    One vial's doses: `came` into it by the book and `extra` beyond, and where they are.

    `in_syringes` are drawn and neither given nor wasted; `first_day` is the local date on which
    the first dose left it, None while it is whole.
    """

    vial: str
    lot: str
    came: int
    extra: int
    given: int
    wasted: int
    missing: int
    sent: int
    in_syringes: int
    left: int
    first_day: str | None


def sheet(
    balances: Balances,
    lot: str | None = None,
    *,
    first: str = FIRST_DAY,
    last: str = LAST_DAY,
) -> Sheet:
    """
    Return the sheet from one local date to another, both included; of one lot or of all.

    Without dates it covers everything the ledger holds; then the opening is zero.
    """
    chosen = [(key, each) for key, each in balances.items() if lot in {None, parts_of(key)[1]}]
    net = _net(chosen, first, last)
    opening = sum(each.before(first) for key, each in chosen if kind_of(key) not in _GONE)
    moved = sum(doses for kind, doses in net.items() if kind not in _GONE)
    return Sheet(
        opening=opening,
        received=-net.get(OUTSIDE, 0),
        extra=-net.get(EXTRA, 0),
        given=net.get(GIVEN, 0),
        wasted=net.get(WASTED, 0),
        missing=net.get(MISSING, 0),
        sent=net.get(TRANSIT, 0),
        left=opening + moved,
    )


def lots(balances: Balances) -> tuple[str, ...]:
    """Return every lot in the book."""
    return tuple(by_lot(balances))


def by_lot(balances: Balances) -> Mapping[str, Balances]:
    """Return the balances of every lot in the book, by lot."""
    found: dict[str, dict[str, Balance]] = {}
    for key, each in balances.items():
        found.setdefault(parts_of(key)[1], {})[key] = each
    return {lot: found[lot] for lot in sorted(found)}


@lru_cache(maxsize=65_536)
def kind_of(key: str) -> str:
    """Return the kind of account a key is of: `vial` for vial:HK47M|ZZ-1041."""
    return parts_of(key)[0].partition(":")[0]


def vial_sheets(balances: Balances) -> tuple[VialSheet, ...]:
    """Return the sheet of every vial with a code, by vial."""
    of_vials = sorted((key, each) for key, each in balances.items() if kind_of(key) == VIAL)
    syringes = _syringes_by_vial(balances)
    return tuple(
        _vial_sheet(key, each, syringes.get(parts_of(key), ())) for key, each in of_vials
    )


def below_zero(balances: Balances) -> tuple[Finding, ...]:
    """Return a stop for each account that holds fewer than no doses and may not."""
    found = [
        (*parts_of(key), each.doses)
        for key, each in sorted(balances.items())
        if each.doses < 0 and kind_of(key) not in _MAY_BE_BELOW_ZERO
    ]
    return tuple(
        Finding(
            Level.STOP,
            "below-zero",
            f"{account}, lot {lot}, has {doses} doses by the book. "
            "Look at its entries in the journal and correct the wrong one.",
        )
        for account, lot, doses in found
    )


def _net(chosen: Iterable[tuple[str, Balance]], first: str, last: str) -> dict[str, int]:
    net: dict[str, int] = {}
    for key, each in chosen:
        moves = each.between(first, last)
        net[kind_of(key)] = net.get(kind_of(key), 0) + moves.came - moves.went
    return net


def _syringes_by_vial(balances: Balances) -> dict[tuple[str, str], list[Balance]]:
    """Return the balances of the syringes drawn from each vial account, with its lot."""
    found: dict[tuple[str, str], list[Balance]] = {}
    for key, each in balances.items():
        account, lot = parts_of(key)
        if kind_of(key) == SYRINGE:
            found.setdefault((vial_account_of(account), lot), []).append(each)
    return found


def vial_account_of(syringe_account: str) -> str:
    """Return the account of the vial that a syringe's code names: HK47M-07 is of HK47M."""
    return f"{VIAL}:{syringe_account.partition(':')[2].rpartition('-')[0]}"


def _vial_sheet(key: str, vial: Balance, syringes: Sequence[Balance]) -> VialSheet:
    account, lot = parts_of(key)
    ways = [way for each in (vial, *syringes) for way in each.ways]
    filled = sum(moves.came for each in syringes for moves in each.days)
    return VialSheet(
        vial=account.partition(":")[2],
        lot=lot,
        came=sum(moves.came for moves in vial.days),
        extra=filled - _went_to(SYRINGE, vial.ways),
        given=_went_to(GIVEN, ways),
        wasted=_went_to(WASTED, ways),
        missing=_went_to(MISSING, ways),
        sent=_went_to(TRANSIT, ways),
        in_syringes=sum(each.doses for each in syringes),
        left=vial.doses,
        first_day=next((moves.day for moves in vial.days if moves.went), None),
    )


def _went_to(kind: str, ways: Iterable[Way]) -> int:
    return sum(way.doses for way in ways if way.account.partition(":")[0] == kind)
