"""What a missing dose is held against: the record of the time, and the sheets of its vials."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from typing import TypeVar, cast

from thawline.account.balance import VialSheet, vial_account_of
from thawline.account.postings import MOVE_DOSES, SYRINGE, VIAL, postings
from thawline.base.instants import date_of_ms, local_time, zone_named
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
            if type(entry.event) in MOVE_DOSES:
                for where in _filled_by(entry.event):
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
        answered = {(event.person, day_of(entry)) for entry, event in self.of(ev.DoseGiven)}
        answered |= {(event.person, day_of(entry)) for entry, event in self.of(ev.DoseNotGiven)}
        last: dict[tuple[str, date], tuple[Entry, ev.DoseChecked]] = {}
        for entry, check in self.of(ev.DoseChecked):
            if check.may and (check.person, day_of(entry)) not in answered:
                last[check.person, day_of(entry)] = (entry, check)
        return tuple(last.values())

    @cached_property
    def from_nowhere(self) -> Sequence[tuple[Entry, ev.DoseGiven]]:
        """The doses that were given and came from nothing in the book."""
        given = self.of(ev.DoseGiven)
        return tuple((entry, event) for entry, event in given if event.doses_from is None)

    @cached_property
    def wasted_at(self) -> Mapping[str, Sequence[tuple[Entry, ev.DoseWasted]]]:
        """The waste that was booked to each place."""
        found: dict[str, list[tuple[Entry, ev.DoseWasted]]] = {}
        for entry, waste in self.of(ev.DoseWasted):
            found.setdefault(waste.place, []).append((entry, waste))
        return found

    def of(self, kind: type[E]) -> Iterator[tuple[Entry, E]]:
        """Yield the entries of one kind of event, with the event."""
        for entry in self.by_kind.get(kind, ()):
            yield entry, cast("E", entry.event)


@dataclass(frozen=True)
class VialSheets:
    """The sheets of all vials: one a vial for each lot that the book has under its code."""

    sheets: Sequence[VialSheet]

    @cached_property
    def _by_vial(self) -> Mapping[str, Sequence[VialSheet]]:
        found: dict[str, list[VialSheet]] = {}
        for each in self.sheets:
            found.setdefault(each.vial, []).append(each)
        return found

    @cached_property
    def over(self) -> Sequence[VialSheet]:
        """Those of vials from which more was drawn than came in them."""
        return tuple(each for each in self.sheets if each.extra > 0)

    def of(self, vial: str | None) -> Sequence[VialSheet]:
        """Return the sheets of a vial; none of no vial."""
        return self._by_vial.get(vial or "", ())


@dataclass(frozen=True, slots=True)
class Search:
    """
    What a gap is held against.

    Args:
        gap: The doses that are missing.
        record: Of the time.
        vials: The sheets of every vial with a code; one for all gaps.
        open_syringes: Every syringe that the book still has a dose in.
        within: How close in time two records of the same thing must be.
    """

    gap: Gap
    record: Record
    vials: VialSheets
    open_syringes: frozenset[str]
    within: timedelta

    @property
    def syringe(self) -> str | None:
        """Return the syringe that is missing; None for another gap."""
        return code_in(self.gap.account, SYRINGE)

    @property
    def vial(self) -> str | None:
        """Return the vial that is short, or that the missing syringe was drawn from."""
        of_syringe = self.syringe and vial_account_of(self.gap.account)
        return code_in(of_syringe or self.gap.account, VIAL)

    def drawn(self) -> Entry | None:
        """Return the entry that drew the missing syringe, None where there is none."""
        return self.record.drawn_by.get(self.syringe) if self.syringe else None

    def place(self, entry: Entry) -> str:
        """Return where and when an entry was made; with its date unless that is the last."""
        wall = local_time(entry.occurred.lo, zone_named(entry.zone)).isoformat("minutes")
        is_last = day_of(entry) == day_of(self.record.entries[-1])
        day = "" if is_last else f"{day_of(entry).isoformat()} "
        return f"{entry.station or entry.by}, {day}{wall}"


@lru_cache(maxsize=32_768)
def _filled_by(event: ev.Event) -> tuple[tuple[str, str], ...]:
    """Return the accounts that an event brings doses to, each with its lot."""
    return tuple((each.account, each.lot) for each in postings(event) if each.doses > 0)


def code_in(account: str, kind: str) -> str | None:
    """Return the code of an account of that kind; None of another kind."""
    head, _, code = account.partition(":")
    return code if head == kind else None


def day_of(entry: Entry) -> date:
    """Return the local date on which an entry occurred."""
    return date_of_ms(entry.lo_ms, zone_named(entry.zone))
