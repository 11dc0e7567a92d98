"""Counts, missing doses and the close-out of a day: does it balance, and who signed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from thawline.account.balance import (
    NOTHING,
    Balances,
    Sheet,
    VialSheet,
    by_lot,
    sheet,
    vial_sheets,
)
from thawline.account.closeout import blockers, gaps, places
from thawline.account.fold import ACCOUNT, key_of
from thawline.account.likeliest import Likely
from thawline.account.postings import STOCK, SYRINGE, VIAL
from thawline.account.searching import Gap
from thawline.account.traces import Weights
from thawline.account.wastage import Sums, WasteSheet, waste_sheet
from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.doses import Unrecorded, unrecorded_in
from thawline.app.in_force import in_force
from thawline.app.left_over import LeftOver, Reckonings, left_over
from thawline.app.ports import Site
from thawline.app.rounds import round_findings
from thawline.base.errors import NotFoundError, RecordError, RefusedError, UnsaidError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, date_of_ms, local_date
from thawline.ledger.entries import Decision, Entry, Head, Kind, Plain, View
from thawline.ledger.events import CountTaken, DayClosed, DoseNotFound
from thawline.ledger.site import KEY, SITE


@dataclass(frozen=True, slots=True)
class Search:
    """A gap and the likeliest places of its doses."""

    gap: Gap
    places: tuple[Likely, ...]


@dataclass(frozen=True, slots=True)
class CloseOut:
    """Everything that two people look at before they sign a day."""

    day: date
    whole: Sheet
    today: Sheet
    by_lot: tuple[tuple[str, Sheet], ...]
    waste: WasteSheet
    blockers: tuple[Finding, ...]
    searches: tuple[Search, ...]
    unrecorded: tuple[Unrecorded, ...]
    rounds: tuple[Finding, ...]
    opened_today: int
    signed: bool
    entries: int
    head: Head

    @property
    def people(self) -> tuple[Finding, ...]:
        """Return what has to be answered about people who were checked."""
        names = ", ".join(dict.fromkeys(each.person for each in self.unrecorded))
        says = (
            f"Checked, and nothing is recorded after it: {names}. Ask, and record the dose or "
            "that none was given: thawline dose give, or thawline dose none"
        )
        return (Finding(Level.ACT, "dose-not-recorded", says),) if names else ()


def count(site: Site, doing: Doing, place: str, lot: str, doses: int) -> Outcome:
    """Record how many doses somebody counted in a place; compared with the book."""
    if doses < 0:
        raise RecordError(f"doses cannot be below zero: {doses}")

    def decide(view: View) -> Decision:
        book = _book(view, place, lot)
        event = CountTaken(place=place, lot=lot, doses=doses, book=book)
        found: tuple[Finding, ...] = ()
        if book != doses:
            than = "fewer" if doses < book else "more"
            says = (
                f"{place}, lot {lot}: counted {doses}, {abs(book - doses)} {than} than the book"
            )
            found = (Finding(Level.ACT, "count-differs", says),)
        return Decision(event, found)

    command: dict[str, Plain] = {
        "command": "stock count",
        "place": place,
        "lot": lot,
        "doses": doses,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def not_found(site: Site, doing: Doing, place: str, lot: str, doses: int) -> Outcome:
    """Record doses as not found: two people looked, each by their own entry."""
    if not doing.why:
        raise UnsaidError("a missing dose needs a reason", advice="add --why: where was looked")
    second = needs_second(doing, "recording a dose as missing")

    def decide(view: View) -> Decision:
        book = _book(view, place, lot)
        if not 1 <= doses <= book:
            raise RecordError(f"{place} holds {book} doses by the book, not {doses}")
        event = DoseNotFound(
            place=place, lot=lot, doses=doses, why=doing.why, second=second.name
        )
        return Decision(event)

    command: dict[str, Plain] = {
        "command": "stock missing",
        "place": place,
        "lot": lot,
        "doses": doses,
    }
    return act(site, doing, command, decide, kind=Kind.FACT)


def balances_of(site: Site) -> Balances:
    """Return every balance, by its key."""
    with site.ledger.view() as view:
        return dict(view.all(ACCOUNT))


def close_out(site: Site, day: date, at: Instant, weights: Weights) -> CloseOut:
    """Return the sheet of a day, what blocks its signatures, and where to look."""
    with site.ledger.view() as view:
        return _close_out(site, view, left_over(site, view, at), (day, at), weights)


def close_out_in(
    site: Site, view: View, when: tuple[date, Instant], weights: Weights, known: Reckonings
) -> CloseOut:
    """Return the same of a view whose vials somebody reckoned already; `when`: day, moment."""
    return _close_out(site, view, left_over(site, view, when[1], known), when, weights)


def _close_out(
    site: Site, view: View, left: LeftOver, when: tuple[date, Instant], weights: Weights
) -> CloseOut:
    day, at = when
    balances: Balances = dict(view.all(ACCOUNT))
    iso = day.isoformat()
    state = view.one(SITE, KEY)
    entries = [each for each in view.counting() if _on(each, day, site)]
    of_lots = tuple((lot, sheet(of, last=iso)) for lot, of in by_lot(balances).items())
    whole = sum((of for _, of in of_lots), NOTHING)
    today = sheet(balances, first=iso, last=iso)
    vials = vial_sheets(balances)
    sums = Sums(vials, today, whole)
    return CloseOut(
        day=day,
        whole=whole,
        today=today,
        by_lot=of_lots,
        waste=waste_sheet(balances, first=iso, last=iso, sums=sums),
        blockers=blockers(balances, left.opened, left.held),
        searches=_searches(balances, entries, weights, vials),
        unrecorded=tuple(unrecorded_in(view)),
        rounds=_rounds(site, view, day, at),
        opened_today=sum(type(each.event).__name__ == "VialPunctured" for each in entries),
        signed=state is not None and iso in state.closed,
        entries=view.head.seq,
        head=view.head,
    )


def _rounds(site: Site, view: View, day: date, at: Instant) -> tuple[Finding, ...]:
    """Return the looks that are missing: a check beside the sum, which blocks no signature."""
    found = round_findings(site, view, day, at)
    return tuple(replace(each, level=Level.CHECK) for each in found)


def sign(
    site: Site,
    doing: Doing,
    day: date,
    weights: Weights,
    beside: Sequence[Finding] = (),
) -> Outcome:
    """
    Close a day by two people; refused while something is unresolved.

    `beside` is what they sign in spite of, and is kept with the entry.

    Raises:
        RefusedError: What still has to be answered, all of it.
        SecondPersonError: There is no second person by their own entry.
    """
    today = local_date(doing.at, site.zone)
    if day > today:
        raise RecordError(
            f"{day} has not come yet; it is {today}", advice="leave --on out for today"
        )
    second = needs_second(doing, "closing a day")

    def decide(view: View) -> Decision:
        left = left_over(site, view, doing.at)
        run = _close_out(site, view, left, (day, doing.at), weights)
        if run.signed:
            raise RecordError(f"{day} is closed already", advice="thawline journal list")
        if run.blockers:
            raise RefusedError(run.blockers, advice=f"thawline closeout run --on {day}")
        event = DayClosed(
            day=day.isoformat(),
            second=second.name,
            received=run.today.received,
            given=run.today.given,
            wasted=run.today.wasted,
            missing=run.today.missing,
            left=run.today.left,
            head=run.head.hash.hex(),
        )
        found = worst_first([*run.people, *beside])
        return Decision(event, found, in_force(site, view, doing.at).ref)

    command: dict[str, Plain] = {"command": "closeout sign", "day": day.isoformat()}
    return act(site, doing, command, decide)


def _searches(
    balances: Balances,
    entries: Sequence[Entry],
    weights: Weights,
    vials: Sequence[VialSheet],
) -> tuple[Search, ...]:
    missing = gaps(balances)
    found = places(missing, balances, entries, weights, vials)
    return tuple(Search(gap, its) for gap, its in zip(missing, found, strict=True))


def _on(entry: Entry, day: date, site: Site) -> bool:
    return date_of_ms(entry.lo_ms, site.zone) == day


_HOLD_DOSES = {STOCK, VIAL, SYRINGE}


def _book(view: View, place: str, lot: str) -> int:
    """
    Return the doses of a lot in an account by the book.

    Raises:
        RecordError: Doses that were given, wasted or sent are not lying anywhere.
        NotFoundError: There is no such account.
    """
    if place.partition(":")[0] not in _HOLD_DOSES:
        raise RecordError(
            f"no doses lie in {place!r}",
            advice="name a stock:UNIT, vial:CODE or syringe:CODE of thawline stock show",
        )
    balance = view.one(ACCOUNT, key_of(place, lot))
    if balance is None:
        near = sorted(key for key, _ in view.all(ACCOUNT) if key.endswith(f"|{lot}"))
        holding = [key for key in near if key.partition(":")[0] in _HOLD_DOSES]
        known = ", ".join(key.partition("|")[0] for key in holding[:3])
        raise NotFoundError(
            f"no account {place} with lot {lot} here",
            advice=f"of that lot there are {known}" if known else "thawline stock show",
        )
    return balance.doses
