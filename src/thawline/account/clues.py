"""
The traces that a missing dose may have left in the record of a day.

Pure reading of the entries as they count: people checked with nothing after it, doses given
from nowhere, syringes drawn and never scanned again, waste booked to a vial, draws and
arrivals recorded twice, digits swapped in a count. See docs/background/missing-dose.md.
"""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import TypeVar, cast

from thawline.account.balance import VialSheet, vial_account_of
from thawline.account.causes import CAUSES, Wastage
from thawline.account.postings import SYRINGE, VIAL, postings
from thawline.base.instants import local_date, local_time, zone_named
from thawline.ledger import events as ev
from thawline.ledger.entries import Entry

E = TypeVar("E", bound=ev.Event)


@dataclass(frozen=True, slots=True)
class Gap:
    """
    Doses of a lot that the book has in an account and nobody finds there.

    `counted` and `book` are the two numbers of a physical count, None where there was none.
    """

    account: str
    lot: str
    doses: int
    counted: int | None = None
    book: int | None = None


@dataclass(frozen=True, slots=True)
class Clue:
    """One trace: its kind, the place to look at, and why."""

    code: str
    place: str
    reason: str


@dataclass(frozen=True)
class Record:
    """The entries of the time, as they count now, oldest first; one for all gaps."""

    entries: Sequence[Entry]

    @cached_property
    def by_kind(self) -> Mapping[type[ev.Event], Sequence[Entry]]:
        """The entries of each kind of event."""
        found: dict[type[ev.Event], list[Entry]] = {}
        for entry in self.entries:
            found.setdefault(type(entry.event), []).append(entry)
        return found

    @cached_property
    def booked_in(self) -> Mapping[tuple[str, str], Sequence[Entry]]:
        """The entries that brought doses to each account of a lot."""
        found: dict[tuple[str, str], list[Entry]] = {}
        for entry in self.entries:
            came = {(p.account, p.lot) for p in postings(entry.event) if p.doses > 0}
            for where in came:
                found.setdefault(where, []).append(entry)
        return found

    @cached_property
    def drawn_by(self) -> Mapping[str, Entry]:
        """The first entry that drew each syringe."""
        found: dict[str, Entry] = {}
        for entry, draw in self.of(ev.DoseDrawn):
            for syringe in draw.syringes:
                found.setdefault(syringe, entry)
        return found

    @cached_property
    def scanned(self) -> Collection[str | None]:
        """The syringes that somebody scanned at a chair."""
        return frozenset(check.syringe for _, check in self.of(ev.DoseChecked))

    @cached_property
    def open_checks(self) -> Sequence[tuple[Entry, ev.DoseChecked]]:
        """Each person's last check that let the dose be given and that nothing answered."""
        answered = {(event.person, _day(entry)) for entry, event in self.of(ev.DoseGiven)}
        answered |= {(event.person, _day(entry)) for entry, event in self.of(ev.DoseNotGiven)}
        last: dict[tuple[str, date], tuple[Entry, ev.DoseChecked]] = {}
        for entry, check in self.of(ev.DoseChecked):
            if check.may and (check.person, _day(entry)) not in answered:
                last[check.person, _day(entry)] = (entry, check)
        return tuple(last.values())

    def of(self, kind: type[E]) -> Iterator[tuple[Entry, E]]:
        """Yield the entries of one kind of event, with the event."""
        for entry in self.by_kind.get(kind, ()):
            yield entry, cast("E", entry.event)


@dataclass(frozen=True, slots=True)
class Search:
    """
    What a gap is held against.

    Args:
        gap: The doses that are missing.
        record: Of the time.
        vials: The sheet of every vial with a code.
        open_syringes: Every syringe that the book still has a dose in.
        within: How close in time two records of the same thing must be.
    """

    gap: Gap
    record: Record
    vials: Sequence[VialSheet]
    open_syringes: frozenset[str]
    within: timedelta

    @property
    def syringe(self) -> str | None:
        """Return the syringe that is missing; None for another gap."""
        return _code(self.gap.account, SYRINGE)

    @property
    def vial(self) -> str | None:
        """Return the vial that is short, or that the missing syringe was drawn from."""
        of_syringe = self.syringe and vial_account_of(self.gap.account)
        return _code(of_syringe or self.gap.account, VIAL)

    def of_vial(self, vial: str | None) -> Iterator[VialSheet]:
        """Yield the sheets of a vial, one for each lot that the book has under its code."""
        return (each for each in self.vials if each.vial == vial)

    def records(self, kind: type[E]) -> Iterator[tuple[Entry, E]]:
        """Yield the entries of one kind of event, with the event."""
        yield from self.record.of(kind)

    def drawn(self) -> Entry | None:
        """Return the entry that drew the missing syringe, None where there is none."""
        return self.record.drawn_by.get(self.syringe) if self.syringe else None

    def place(self, entry: Entry) -> str:
        """Return where and when an entry was made; with its date unless that is the last."""
        wall = local_time(entry.occurred.lo, zone_named(entry.zone)).isoformat("minutes")
        is_last = _day(entry) == _day(self.record.entries[-1])
        day = "" if is_last else f"{_day(entry).isoformat()} "
        return f"{entry.station or entry.by}, {day}{wall}"


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
    lots = {each.lot for each in search.vials if each.vial == check.vial}
    if lots and search.gap.lot not in lots:
        return False
    return None in {check.vial, search.vial} or check.vial == search.vial


def _given_from_nowhere(search: Search) -> Iterator[Clue]:
    for entry, given in search.records(ev.DoseGiven):
        if given.doses_from is None and given.lot in {None, search.gap.lot}:
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
    for each in search.of_vial(search.vial):
        if each.extra > 0:
            yield Clue(
                "drawn-twice",
                f"vial {each.vial}",
                f"more draws than its {each.came} doses: one may be recorded twice",
            )


def _other_vial_over(search: Search) -> Iterator[Clue]:
    if search.syringe or search.vial is None:
        return
    for each in search.vials:
        if each.vial != search.vial and each.lot == search.gap.lot and each.extra > 0:
            yield Clue(
                "other-vial-over",
                f"vial {each.vial}",
                f"more draws than its {each.came} doses: one may belong to {search.vial}",
            )


def _waste_without_syringe(search: Search) -> Iterator[Clue]:
    if search.syringe is None:
        return
    for entry, waste in search.records(ev.DoseWasted):
        cause = CAUSES.get(waste.cause)
        of_open_vial = cause is None or cause.kind is Wastage.OPEN
        if waste.place == vial_account_of(search.gap.account) and of_open_vial:
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
    for each in search.of_vial(search.vial):
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


def _code(account: str, kind: str) -> str | None:
    head, _, code = account.partition(":")
    return code if head == kind else None


def _day(entry: Entry) -> date:
    return local_date(entry.occurred.lo, zone_named(entry.zone))


def _swapped(counted: int, book: int) -> bool:
    """Say whether two neighbouring digits swapped turn one number into the other."""
    one, two = str(counted).zfill(len(str(book))), str(book)
    if counted == book or len(one) != len(two):
        return False
    return any(one[:n] + one[n + 1] + one[n] + one[n + 2 :] == two for n in range(len(one) - 1))
