"""
What stands between a day and its signatures, and which doses are not where the book has them.

A day cannot be signed while an open vial or a drawn syringe is neither given nor discarded,
whatever its clock, while an account is below zero, or while a count differs from the book.
What is held blocks the signature too, and nobody is told to discard it before somebody who may
say so has said so.
See docs/background/dose-accounts.md and decision 0034.
"""

from collections.abc import Collection, Iterator, Sequence

from thawline.account.balance import Balances, VialSheet, below_zero, kind_of, vial_sheets
from thawline.account.clues import clues
from thawline.account.fold import Balance, parts_of
from thawline.account.likeliest import Likely, likeliest
from thawline.account.postings import GIVEN, SYRINGE, VIAL
from thawline.account.searching import Gap, Record, Search, VialSheets
from thawline.account.traces import Weights
from thawline.base.findings import Finding, Level, worst_first
from thawline.ledger.entries import Entry
from thawline.vial.leaving import HELD

PLACES_SHOWN = 3


def blockers(
    balances: Balances, opened: Collection[str], held: Collection[str]
) -> tuple[Finding, ...]:
    """
    Return every reason why the day cannot be signed; empty when it can.

    Args:
        balances: Every balance of the account fold.
        opened: Codes of the vials that were opened and not discarded.
        held: Codes of the vials and drawn syringes that are held.
    """
    return worst_first(
        [
            *_open_vials(balances, opened, held),
            *_drawn_syringes(balances, held),
            *_counts(balances),
            *below_zero(balances),
        ]
    )


def gaps(balances: Balances) -> tuple[Gap, ...]:
    """Return the doses to look for: drawn syringes nothing came of, and counts too short."""
    return (*_syringe_gaps(balances), *_count_gaps(balances))


def places(
    missing: Sequence[Gap],
    balances: Balances,
    entries: Sequence[Entry],
    weights: Weights,
    vials: Sequence[VialSheet] | None = None,
) -> tuple[tuple[Likely, ...], ...]:
    """
    Return the three likeliest places of each gap, fewer where there are fewer traces.

    Args:
        missing: The gaps, in any order; the answers come in the same.
        balances: Every balance of the account fold.
        entries: Of the days to look through, as they count now, oldest first.
        weights: What each kind of trace weighs.
        vials: The sheets of all vials, where somebody made them already.
    """
    if not missing:
        return ()
    record = Record(entries)
    sheets = VialSheets(vial_sheets(balances) if vials is None else vials)
    open_syringes = frozenset(_name(key) for key, _ in _holding(balances, SYRINGE))
    within = weights.within("recorded-twice")
    searches = [Search(gap, record, sheets, open_syringes, within) for gap in missing]
    return tuple(likeliest(clues(each), weights, PLACES_SHOWN) for each in searches)


def _holding(balances: Balances, kind: str) -> Iterator[tuple[str, Balance]]:
    """Yield the accounts of a kind that hold doses, by key."""
    for key in sorted(balances):
        if kind_of(key) == kind and balances[key].doses > 0:
            yield key, balances[key]


def _name(key: str) -> str:
    return parts_of(key)[0].partition(":")[2]


def _held(what: str, discard: str) -> Finding:
    says = (
        f"{what}: {HELD}. Do not discard it until you are told to: keep it cold and apart, and "
        f"call. Once told, record it: {discard} --cause held-open"
    )
    return Finding(Level.STOP, "held-left", says)


def _open_vials(
    balances: Balances, opened: Collection[str], held: Collection[str]
) -> Iterator[Finding]:
    for key, balance in _holding(balances, VIAL):
        code = _name(key)
        if code not in opened and not _was_drawn_from(balance):
            continue
        if code in held:
            what = f"Vial {code}, open with {_doses(balance)} left by the book"
            yield _held(what, f"thawline vial discard {code}")
        else:
            yield Finding(
                Level.STOP,
                "open-vial-left",
                f"Vial {code} is open with {_doses(balance)} left by the book. Discard it: "
                f"thawline vial discard {code} --cause leftover",
            )


def _doses(balance: Balance) -> str:
    return "1 dose" if balance.doses == 1 else f"{balance.doses} doses"


def _was_drawn_from(vial: Balance) -> bool:
    return any(way.account.partition(":")[0] in {SYRINGE, GIVEN} for way in vial.ways)


def _drawn_syringes(balances: Balances, held: Collection[str]) -> Iterator[Finding]:
    for key, _ in _holding(balances, SYRINGE):
        code = _name(key)
        if code in held:
            yield _held(f"Syringe {code}, drawn", f"thawline dose waste --syringe {code}")
            continue
        yield Finding(
            Level.STOP,
            "syringe-left",
            f"Syringe {code} is drawn and neither given nor wasted. Record which: "
            f"thawline dose give, or thawline dose waste --syringe {code}",
        )


def _counts(balances: Balances) -> Iterator[Finding]:
    for key in sorted(balances):
        count = balances[key].count
        if count is not None and count.off:
            account, lot = parts_of(key)
            than = "fewer" if count.off < 0 else "more"
            yield Finding(
                Level.STOP,
                "count-differs",
                f"{account}, lot {lot}: counted {count.doses}, {abs(count.off)} {than} than "
                "the book. Count again, find them, or record them as not found.",
            )


def _syringe_gaps(balances: Balances) -> Iterator[Gap]:
    for key, balance in _holding(balances, SYRINGE):
        account, lot = parts_of(key)
        yield Gap(account, lot, balance.doses)


def _count_gaps(balances: Balances) -> Iterator[Gap]:
    for key in sorted(balances):
        count = balances[key].count
        if count is not None and count.off < 0:
            account, lot = parts_of(key)
            yield Gap(account, lot, -count.off, count.doses, count.doses - count.off)
