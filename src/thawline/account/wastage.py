"""
Wastage as WHO counts it: doses issued and not given, its rate and its factor.

A vial is issued whole on the day its first dose leaves it. When the last of its doses are
given on a later day, that day's rate can be below zero; read the cumulative one then.
See docs/background/wastage.md.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from thawline.account.balance import (
    FIRST_DAY,
    LAST_DAY,
    Balances,
    Sheet,
    VialSheet,
    kind_of,
    sheet,
    vial_account_of,
    vial_sheets,
)
from thawline.account.causes import CAUSES, Wastage
from thawline.account.fold import Balance, parts_of
from thawline.account.postings import GIVEN, MISSING, SYRINGE, VIAL, WASTED

_ENDS = frozenset({GIVEN, WASTED, MISSING})


@dataclass(frozen=True, slots=True)
class Usage:
    """Doses issued and doses given of a vial, a lot, a day or a site."""

    issued: int
    given: int

    @property
    def wastage_rate(self) -> Fraction | None:
        """Return the share issued and not given, below zero across days; None of nothing."""
        return 1 - Fraction(self.given, self.issued) if self.issued else None

    @property
    def wastage_factor(self) -> Fraction | None:
        """Return the doses issued for one dose given; None where none was."""
        return None if self.wastage_rate is None else wastage_factor(self.wastage_rate)


@dataclass(frozen=True, slots=True)
class Wasted:
    """Doses wasted for one cause; `kind` None for a cause that is not listed."""

    cause: str
    kind: Wastage | None
    doses: int


@dataclass(frozen=True, slots=True)
class WasteSheet:
    """Wastage of some days: their usage, the usage since the ledger began, and the causes."""

    usage: Usage
    cumulative: Usage
    causes: tuple[Wasted, ...]

    def doses(self, kind: Wastage | None) -> int:
        """Return the doses wasted of one kind; None for causes that are not listed."""
        return sum(each.doses for each in self.causes if each.kind is kind)

    @property
    def says(self) -> str:
        """Return what has to be said about the rate of these days; empty when nothing has."""
        rate = self.usage.wastage_rate
        if rate is None or rate >= 0:
            return ""
        return (
            "More doses were given than issued on these days: vials opened before gave some of "
            "them. Read the cumulative rate."
        )


def wastage_factor(rate: Fraction) -> Fraction | None:
    """
    Return 1 / (1 - rate): how many doses are issued for one given; None at a rate of 1.

    Source: WHO, "Monitoring vaccine wastage at country level", WHO/V&B/03.18: wastage factor
    = 100 / (100 - wastage rate in percent), as applied in BMC Public Health 2020,
    s12889-020-08637-1, Table 1.
    """
    return None if rate == 1 else 1 / (1 - rate)


def combined_wastage(closed: Fraction, levels: int, opened: Fraction) -> Fraction:
    """
    Return the share wasted in all: closed-vial at each level of storage, then open-vial.

    Source: WHO, concept note "Revising global indicative wastage rates", 8 April 2019, as read
    in a reproduced copy: 1 - (1 - closed) ** levels * (1 - opened).
    """
    return 1 - (1 - closed) ** levels * (1 - opened)


def usage_by_vial(balances: Balances) -> dict[str, Usage]:
    """Return the usage of every vial that a dose has left, by code; none crosses days here."""
    return {
        each.vial: Usage(each.came + each.extra - each.sent, each.given)
        for each in vial_sheets(balances)
        if each.first_day is not None
    }


@dataclass(frozen=True, slots=True)
class Sums:
    """What wastage is reckoned from: the vials, all doses in a time, and all until its end."""

    vials: Sequence[VialSheet]
    within: Sheet
    until: Sheet


def waste_sheet(
    balances: Balances,
    lot: str | None = None,
    *,
    first: str = FIRST_DAY,
    last: str = LAST_DAY,
    sums: Sums | None = None,
) -> WasteSheet:
    """
    Return the wastage from one local date to another, both included; of one lot or all.

    `sums` are those of these lots and dates, where somebody added them up already.
    """
    made = sums or Sums(
        [each for each in vial_sheets(balances) if lot in {None, each.lot}],
        sheet(balances, lot, first=first, last=last),
        sheet(balances, lot, last=last),
    )
    coded = list(_vials_and_syringes(balances, lot))
    return WasteSheet(
        usage=_usage(made.vials, made.within, _ended(coded, first, last), first, last),
        cumulative=_usage(
            made.vials, made.until, _ended(coded, FIRST_DAY, last), FIRST_DAY, last
        ),
        causes=_causes(balances, lot, first, last),
    )


def _usage(
    vials: Iterable[VialSheet], over: Sheet, by_way_of_vials: int, first: str, last: str
) -> Usage:
    """Vials issued in the time, and what ended in it without ever being in a vial here."""
    issued = sum(
        each.came + each.extra - each.sent
        for each in vials
        if each.first_day and first <= each.first_day <= last
    )
    ended = over.given + over.wasted + over.missing
    return Usage(issued + ended - by_way_of_vials, over.given)


def _vials_and_syringes(balances: Balances, lot: str | None) -> Iterable[Balance]:
    """Yield the balances of vials with codes, and of the syringes drawn from them."""
    coded = {parts_of(key) for key in balances if kind_of(key) == VIAL}
    for key, each in balances.items():
        account, of_lot = parts_of(key)
        vial = vial_account_of(account) if kind_of(key) == SYRINGE else account
        if lot in {None, of_lot} and (vial, of_lot) in coded:
            yield each


def _ended(balances: Iterable[Balance], first: str, last: str) -> int:
    return sum(
        way.doses
        for each in balances
        for way in each.ways
        if way.account.partition(":")[0] in _ENDS and first <= way.day <= last
    )


def _causes(balances: Balances, lot: str | None, first: str, last: str) -> tuple[Wasted, ...]:
    doses: dict[str, int] = {}
    for key, each in balances.items():
        account, of_lot = parts_of(key)
        if kind_of(key) == WASTED and lot in {None, of_lot}:
            cause, moves = account.partition(":")[2], each.between(first, last)
            doses[cause] = doses.get(cause, 0) + moves.came - moves.went
    found = [Wasted(cause, _kind(cause), count) for cause, count in doses.items() if count]
    return tuple(sorted(found, key=lambda each: (-each.doses, each.cause)))


def _kind(cause: str) -> Wastage | None:
    return CAUSES[cause].kind if cause in CAUSES else None
