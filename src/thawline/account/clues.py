"""
The traces that a missing dose may have left in the record of a day.

Pure reading of the entries as they count: people checked with nothing after it, doses given
from nowhere, syringes drawn and never scanned again, waste booked to a vial, draws and
arrivals recorded twice, digits swapped in a count. See docs/background/missing-dose.md.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from thawline.account.balance import vial_account_of
from thawline.account.causes import CAUSES, Wastage
from thawline.account.searching import Search
from thawline.ledger import events as ev
from thawline.ledger.entries import Entry


@dataclass(frozen=True, slots=True)
class Clue:
    """One trace: its kind, the place to look at, and why."""

    code: str
    place: str
    reason: str


def clues(search: Search) -> tuple[Clue, ...]:
    """Return every trace that may explain the gap, each with its place and reason."""
    return tuple(clue for find in FINDERS.values() for clue in find(search))


def _checked_with_it(search: Search) -> Iterator[Clue]:
    for entry, check in search.record.open_checks:
        if check.syringe is not None and check.syringe == search.syringe:
            yield Clue(
                "checked-with-it",
                search.place(entry),
                f"{check.person} was checked with {check.syringe}, nothing is recorded since",
            )


def _checked_no_dose(search: Search) -> Iterator[Clue]:
    for entry, check in search.record.open_checks:
        if check.syringe not in search.open_syringes and _may_be_of_it(search, entry, check):
            yield Clue(
                "checked-no-dose",
                search.place(entry),
                f'{check.person} was checked there: no dose is recorded, nor "none given"',
            )


def _may_be_of_it(search: Search, entry: Entry, check: ev.DoseChecked) -> bool:
    """Say whether a check can have been of the missing dose, by its time, its vial and lot."""
    drawn = search.drawn()
    if drawn is not None and entry.occurred.hi < drawn.occurred.lo:
        return False
    lots = {each.lot for each in search.vials.of(check.vial)}
    if lots and search.gap.lot not in lots:
        return False
    return None in {check.vial, search.vial} or check.vial == search.vial


def _given_from_nowhere(search: Search) -> Iterator[Clue]:
    for entry, given in search.record.from_nowhere:
        if given.lot in {None, search.gap.lot}:
            yield Clue(
                "given-from-nowhere",
                search.place(entry),
                f"the dose of {given.person} came from nothing in the book: perhaps this one",
            )


def _count_digits(search: Search) -> Iterator[Clue]:
    gap = search.gap
    if gap.counted is not None and gap.book is not None and _swapped(gap.counted, gap.book):
        yield Clue(
            "count-digits",
            f"the count of {gap.account}",
            f"counted {gap.counted}, the book has {gap.book}: two digits may be swapped",
        )


def _drawn_twice(search: Search) -> Iterator[Clue]:
    if search.syringe is None:
        return
    for each in search.vials.of(search.vial):
        if each.extra > 0:
            yield Clue(
                "drawn-twice",
                f"vial {each.vial}",
                f"more draws than its {each.came} doses: one may be recorded twice",
            )


def _other_vial_over(search: Search) -> Iterator[Clue]:
    if search.syringe or search.vial is None:
        return
    for each in search.vials.over:
        if each.vial != search.vial and each.lot == search.gap.lot:
            yield Clue(
                "other-vial-over",
                f"vial {each.vial}",
                f"more draws than its {each.came} doses: one may belong to {search.vial}",
            )


def _waste_without_syringe(search: Search) -> Iterator[Clue]:
    if search.syringe is None:
        return
    of_vial = vial_account_of(search.gap.account)
    for entry, waste in search.record.wasted_at.get(of_vial, ()):
        cause = CAUSES.get(waste.cause)
        if cause is None or cause.kind is Wastage.OPEN:
            yield Clue(
                "waste-without-syringe",
                search.place(entry),
                f"{waste.doses} wasted ({waste.cause}) booked to vial {search.vial}: "
                f"perhaps {search.syringe}",
            )


def _recorded_twice(search: Search) -> Iterator[Clue]:
    earlier: dict[ev.Event, Entry] = {}
    for entry in search.record.booked_in.get((search.gap.account, search.gap.lot), ()):
        before = earlier.get(entry.event)
        if before and abs(entry.occurred.lo - before.occurred.lo) <= search.within:
            yield Clue(
                "recorded-twice",
                search.place(entry),
                f"the same doses were booked in before, {search.place(before)}",
            )
        earlier[entry.event] = entry


def _drawn_not_seen(search: Search) -> Iterator[Clue]:
    drawn = search.drawn()
    if drawn is not None and search.syringe not in search.record.scanned:
        yield Clue(
            "drawn-not-seen",
            search.place(drawn),
            f"{search.syringe} was drawn there and not scanned since. Look through the trays, "
            "the sharps box and the hold tray",
        )


def _vial_short(search: Search) -> Iterator[Clue]:
    if search.syringe is not None:
        return
    for each in search.vials.of(search.vial):
        if 0 < each.left < each.came:
            yield Clue(
                "vial-short",
                f"vial {each.vial}",
                f"drawn from, and the book has {each.left} left in it: it may have held less",
            )


FINDERS: Mapping[str, Callable[[Search], Iterator[Clue]]] = {
    "checked-with-it": _checked_with_it,
    "given-from-nowhere": _given_from_nowhere,
    "checked-no-dose": _checked_no_dose,
    "count-digits": _count_digits,
    "drawn-twice": _drawn_twice,
    "other-vial-over": _other_vial_over,
    "waste-without-syringe": _waste_without_syringe,
    "recorded-twice": _recorded_twice,
    "drawn-not-seen": _drawn_not_seen,
    "vial-short": _vial_short,
}
"""What looks for each kind of trace, by its code."""


def _swapped(counted: int, book: int) -> bool:
    """Say whether two neighbouring digits swapped turn one number into the other."""
    one, two = str(counted).zfill(len(str(book))), str(book)
    if counted == book or len(one) != len(two):
        return False
    return any(one[:n] + one[n + 1] + one[n] + one[n + 2 :] == two for n in range(len(one) - 1))
