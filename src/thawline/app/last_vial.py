"""
What is known at a site of the hours that are left, for the choice whether to open another vial.

Bookings still to come, people at the chairs, doses in hand and how long they keep, the vials
that can be brought, the names of the standby list and their ways. All of it is read anew each
time that somebody asks.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from thawline.app.in_force import InForce, in_force
from thawline.app.passed_places import Booked, is_walk_up, visits_until
from thawline.app.ports import Site
from thawline.app.standby import LAST_PLACE, LATE, standby_list
from thawline.app.standings import Stood, all_stood, stood_for_syringes
from thawline.app.until import until
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.instants import Instant, from_ms, local_date, local_time
from thawline.ledger.entries import View
from thawline.person.bookings import had_dose_on
from thawline.person.fold import PERSON, Booking, PersonState, open_checks
from thawline.person.standby import STANDBY, List
from thawline.plan.coming import Due, coming, nearly_most
from thawline.plan.last_hours import LastHours
from thawline.plan.last_vial import Solved, quantile_days, solve
from thawline.plan.no_show import NoShow, learned
from thawline.plan.opening import OpeningDay, Policy, Prices, policy
from thawline.plan.opening_kernel import Numbers
from thawline.plan.possible import somebody_comes
from thawline.plan.thaw import thaw_rule
from thawline.rules.protocol import Protocol, ProtocolRef, Starts
from thawline.vial.folds import LOT, VIAL
from thawline.vial.reckon import State
from thawline.vial.syringes import SYRINGE

SLOT = timedelta(minutes=5)
LAST_HOURS = timedelta(hours=2)
"""From when the last vial is looked at: enough for a thaw on the table; our own judgement."""
DAYS = 20
_HOUR = timedelta(hours=1)
_FOLDS = (PERSON, LOT, VIAL, SYRINGE, STANDBY)


@dataclass(frozen=True, slots=True)
class Ask:
    """
    What is asked, when, at which prices; what is None is learned from the record.

    `waiting`: people here without a dose, beside those at the chairs. `hold_most`: the longest
    that somebody may be asked to wait, in the table for the rest of the day.
    """

    now: Instant
    prices: Prices  # a person held is priced for each slot of five minutes
    no_show: NoShow | None = None
    walk_ups_an_hour: float | None = None
    waiting: int = 0
    takes: float = 0.5
    close: Instant | None = None
    hold_most: timedelta = timedelta(minutes=20)


@dataclass(frozen=True, slots=True)
class Batch:
    """Doses in hand from one vial: open, drawn, or on the table unopened; usable before."""

    vial: str
    doses: int
    use_by: Instant


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """
    Everything that the advice rests on.

    `given_up`: bookings of today so late that they count as staying away. `ready_vial`: the
    next vial to bring, None without one; `warm`: how long it takes on the table.
    """

    now: Instant
    start: Instant
    close: Instant
    due: tuple[Due, ...]
    given_up: int
    at_chairs: int
    waiting: int
    in_hand: tuple[Batch, ...]
    chilled: tuple[str, ...]
    warm: timedelta
    standby: List
    no_show: NoShow
    walk_ups_an_hour: float
    walk_ups_say: str
    open_life: timedelta
    doses_per_vial: int
    ref: ProtocolRef

    @property
    def doses(self) -> int:
        """Return the doses in hand."""
        return sum(batch.doses for batch in self.in_hand)

    @property
    def booked(self) -> int:
        """Return the bookings still to come."""
        return sum(not due.called for due in self.due)


@dataclass(frozen=True, slots=True, eq=False)
class LastVial:
    """The advice of the last hours: the best choice now, its price beside the others."""

    hours: LastHours
    solved: Solved
    days: Sequence[int]
    waits_until: Instant | None
    chance_sooner: float

    @property
    def short_days(self) -> int:
        """Return on how many of the days the doses in hand do not do."""
        return sum(each + self.hours.waiting > self.hours.in_hand for each in self.days)


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """What is known, the policy for the rest of the day, and the last hours' advice if due."""

    known: Known
    slot: timedelta
    day: OpeningDay
    policy: Policy
    last: LastVial | None


def opening_now(site: Site, ask: Ask) -> Opening:
    """
    Return the advice on opening another vial at a site, from its ledger.

    Raises:
        NotFoundError: Nobody is booked on that day.
        RecordError: The day is over, or there is nothing to learn the no-shows from.
    """
    known = look(site, ask)
    slot = 2 * SLOT
    day = OpeningDay(
        arrivals=_arrivals(known, slot),
        doses_per_vial=known.doses_per_vial,
        life_slots=max(1, known.open_life // slot),
        hold_most=ask.hold_most // slot,
        standby=len(known.standby.can_be_here(known.close)),
        takes=ask.takes,
    )
    twice = Prices(
        ask.prices.dose_wasted, ask.prices.person_asked_back, 2 * ask.prices.person_held
    )
    last = None
    if known.close - known.start <= min(LAST_HOURS, known.open_life):
        last = advise(known, ask)
    return Opening(known, slot, day, policy(day, twice), last)


def advise(known: Known, ask: Ask) -> LastVial:
    """Return the advice for the last hours."""
    arrivals = _arrivals(known, SLOT)
    slots = len(arrivals)
    waiting = known.at_chairs + known.waiting
    keeps = _keeps(known, slots)
    most = nearly_most(arrivals) + waiting - keeps[0]
    hours = LastHours(
        arrivals=arrivals,
        keeps=keeps,
        waiting=waiting,
        vials=min(len(known.chilled), max(0, -(-most // known.doses_per_vial)) + 1),
        doses_per_vial=known.doses_per_vial,
        warm_slots=-(-known.warm // SLOT),
        travel=tuple(-(-(each.here_at - known.now) // SLOT) for each in known.standby.waiting),
        takes=ask.takes,
    )
    solved = solve(hours, ask.prices)
    slot, sooner = solved.waits_until()
    return LastVial(
        hours=hours,
        solved=solved,
        days=quantile_days(hours, DAYS),
        waits_until=None if slot is None else Instant(known.start + slot * SLOT),
        chance_sooner=sooner,
    )


@dataclass(frozen=True, slots=True)
class _Read:
    """What the record holds at the moment asked about."""

    rules: InForce
    bookings: tuple[tuple[PersonState, Booking], ...]
    listed: List
    in_hand: tuple[Batch, ...]
    chilled: tuple[str, ...]


def look(site: Site, ask: Ask) -> Known:
    """Return what is known at the site at that moment."""
    read = _read(site, ask.now)
    today = local_date(ask.now, site.zone)
    of_day = [each for each in read.bookings if _day(each[1], site) == today]
    close = _close(of_day, ask, today)
    no_show = ask.no_show or _learned(site, read.bookings, ask.now)
    to_come = [each for each in of_day if not had_dose_on(each[0], today, site.zone)]
    seated = [state for state, _ in to_come if _at_chair(state, site, today)]
    still = [b for state, b in to_come if state not in seated]
    counting = [b for b in still if from_ms(b.slot_ms) > ask.now - LATE]
    if counting:
        somebody_comes(no_show.share(b.group) for b in counting)
    rate, says = _walk_ups(site, of_day, ask)
    rule = thaw_rule(read.rules.protocol)
    return Known(
        now=ask.now,
        start=_on_the_grid(ask.now, site),
        close=close,
        due=(
            *(Due(from_ms(b.slot_ms), 1 - no_show.share(b.group)) for b in counting),
            *(Due(each.here_at, 1.0, called=True) for each in read.listed.on_the_way),
        ),
        given_up=len(still) - len(counting),
        at_chairs=len(seated),
        waiting=ask.waiting,
        in_hand=read.in_hand,
        chilled=read.chilled,
        warm=rule.on_table,
        standby=read.listed,
        no_show=no_show,
        walk_ups_an_hour=rate,
        walk_ups_say=says,
        open_life=_life(read.rules.protocol),
        doses_per_vial=rule.doses_per_vial,
        ref=read.rules.ref,
    )


def _read(site: Site, now: Instant) -> _Read:
    with site.ledger.view() as newest:
        view = until(newest, now, _FOLDS)
        rules = in_force(site, view, now)
        in_hand, chilled = _vials(view, rules, now)
        return _Read(
            rules=rules,
            bookings=tuple((s, b) for _, s in view.all(PERSON) for b in s.bookings),
            listed=standby_list(site, view, now),
            in_hand=in_hand,
            chilled=chilled,
        )


def _close(of_day: Sequence[tuple[PersonState, Booking]], ask: Ask, today: date) -> Instant:
    """Return when the last person is served; it must be still to come."""
    if not of_day:
        raise NotFoundError(f"nobody is booked on {today}", advice="thawline booking list")
    close = ask.close or Instant(max(from_ms(b.slot_ms) for _, b in of_day) + LAST_PLACE)
    if ask.now >= close:
        raise RecordError(
            "the day is over: the last place has passed", advice="say a later --close"
        )
    return close


def _on_the_grid(now: Instant, site: Site) -> Instant:
    """Return the last full five minutes of the local clock."""
    wall = local_time(now, site.zone)
    into = timedelta(minutes=wall.minute, seconds=wall.second, microseconds=wall.microsecond)
    return Instant(now - into % SLOT)


def _arrivals(known: Known, slot: timedelta) -> Numbers:
    slots = max(1, -(-(known.close - known.start) // slot))
    walking = known.walk_ups_an_hour * (slot / _HOUR)
    return coming(known.due, known.start, slot, slots, walking)


def _keeps(known: Known, slots: int) -> tuple[int, ...]:
    """Return the doses in hand that may be used through each slot, and the last one again."""
    through = [
        sum(b.doses for b in known.in_hand if b.use_by >= known.start + (slot + 1) * SLOT)
        for slot in range(slots)
    ]
    return (*through, through[-1])


def _vials(
    view: View, rules: InForce, now: Instant
) -> tuple[tuple[Batch, ...], tuple[str, ...]]:
    """Return the doses in hand by vial, and the chilled vials, by use-by."""
    stood = list(all_stood(view, rules, now))
    drawn = Counter(
        syringe.vial for _, syringe in view.all(SYRINGE) if syringe.became == "drawn"
    )
    batches = [
        Batch(each.code, max(0, each.vial.left), each.reckoning.use_by)
        for each in _usable(stood, (State.OPEN, State.READY, State.WARMING))
        if each.reckoning.use_by is not None
    ]
    for code, count in drawn.items():
        if code is None:
            continue
        seen = stood_for_syringes(view, rules, code, now).reckoning
        if seen.usable and seen.use_by is not None:
            batches.append(Batch(code, count, seen.use_by))
    chilled = sorted(
        (each.reckoning.use_by, each.code)
        for each in _usable(stood, (State.CHILLED,))
        if each.reckoning.use_by is not None
    )
    in_hand = sorted((b for b in batches if b.doses), key=lambda b: (b.use_by, b.vial))
    return tuple(in_hand), tuple(code for _, code in chilled)


def _usable(stood: Iterable[Stood], states: Sequence[State]) -> Iterator[Stood]:
    for each in stood:
        if each.reckoning.state in states and each.reckoning.usable and each.vial.left > 0:
            yield each


def _at_chair(state: PersonState, site: Site, today: date) -> bool:
    """Say whether a syringe was scanned for the person today and nothing came of it yet."""
    return any(
        local_date(from_ms(check.at_ms), site.zone) == today for check in open_checks(state)
    )


def _learned(site: Site, booked: Booked, now: Instant) -> NoShow:
    """Return the share without a dose: of earlier days, and of today's places long passed."""
    seen = learned(visits_until(site, booked, now), local_date(now, site.zone))
    if seen is None:
        raise RecordError(
            "no no-show share is given, and nobody had a dose here yet to learn it from",
            advice="add --no-show 0.08",
        )
    return seen


def _walk_ups(
    site: Site, of_day: Sequence[tuple[PersonState, Booking]], ask: Ask
) -> tuple[float, str]:
    """Return the walk-ups expected in an hour, and who says so."""
    if ask.walk_ups_an_hour is not None:
        return ask.walk_ups_an_hour, f"{ask.walk_ups_an_hour:g} an hour given by hand"
    came = sum(is_walk_up(b, site) and from_ms(b.slot_ms) <= ask.now for _, b in of_day)
    first = min(from_ms(b.slot_ms) for _, b in of_day)
    hours = max((ask.now - first) / _HOUR, 1.0)
    return came / hours, f"{came / hours:.1f} an hour learned here: {came} came so far today"


def _life(protocol: Protocol) -> timedelta:
    """Return the shortest time that an opened vial may be used."""
    return min(
        clock.allows.longest()
        for clock in protocol.clocks.values()
        if clock.starts_on is Starts.OPEN
    )


def _day(booking: Booking, site: Site) -> date:
    return local_date(from_ms(booking.slot_ms), site.zone)
