"""The rolling thaw of a day, from the ledger or a file: what to move now, and its price."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from thawline.app.passed_places import Booked, is_walk_up, visits_before
from thawline.app.plans import Ask, Planned, Slot
from thawline.app.ports import Site
from thawline.app.standby import LATE
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, from_ms, local_date, local_time
from thawline.person.bookings import had_dose_on
from thawline.person.fold import PERSON, Booking
from thawline.plan.day_kinds import DaySpread, Seen, day_kinds, is_unusual, widest
from thawline.plan.demand import Party, arrived_by
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.learned_demand import Earlier, Shifts, WalkUps, earlier
from thawline.plan.no_show import NoShow, percent
from thawline.plan.rolling import (
    Asking,
    Moves,
    SurplusPrices,
    Target,
    ends_of,
    moves_now,
    targets,
)
from thawline.plan.thaw import ThawRule
from thawline.plan.thaw_days import (
    CameTo,
    ThawDay,
    at_once,
    came_to,
    drawn_days,
    for_all_bookings,
    for_the_mean,
    rolling,
    the_night_before,
)

SLOT = timedelta(minutes=5)
_HOUR = timedelta(hours=1)
_DAY = timedelta(days=1)
_ONE_EACH = SurplusPrices(1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class AskRolling:
    """
    What is asked of the rolling thaw; what is None is learned, or left out of a file's plan.

    `prices` None: the service level of the plan counts for both ways of thawing.
    """

    again: timedelta = HALF_HOUR
    prices: SurplusPrices | None = None
    day_spread: float | None = None
    walk_ups_an_hour: float | None = None
    days: int = 2_000
    seed: int = 1


@dataclass(frozen=True, slots=True)
class Today:
    """Everybody booked on the day: came already, or not yet; walk-ups are apart."""

    came: Sequence[Slot]
    not_yet: Sequence[Slot]


@dataclass(frozen=True, slots=True)
class RollingPlan:
    """
    The rolling thaw with everything it rests on.

    `no_show_today`: the day's share as who came so far moves it. `targets` as seen now, the
    first for now, or for the first move of a day to come; `played`: each rule over the same
    drawn days, from the day's start.
    """

    services: tuple[float, float]
    prices: SurplusPrices | None
    again: timedelta
    spread: DaySpread
    no_show_today: float
    walk_ups: WalkUps
    shifts: Shifts
    came: int
    targets: tuple[Target, ...]
    moves: Moves
    played: tuple[CameTo, ...]
    days: int
    seed: int
    findings: tuple[Finding, ...] = ()


def rolling_for_site(site: Site, planned: Planned, ask: Ask, how: AskRolling) -> RollingPlan:
    """Return the rolling thaw of a planned day at a site."""
    with site.ledger.view() as view:
        booked = [(state, b) for _, state in view.all(PERSON) for b in state.bookings]
    day = planned.day.day
    today, before = _today(site, booked, day), visits_before(site, booked, day)
    starts = _half_hours([*today.came, *today.not_yet], site.zone)
    half_hours = [local_time(each, site.zone) for each in starts]
    return _rolled(planned, today, earlier(before, half_hours), ask, how)


def rolling_for_slots(planned: Planned, ask: Ask, how: AskRolling) -> RollingPlan:
    """Return the rolling thaw of a day planned from a file, as if nobody had come yet."""
    return _rolled(planned, Today((), planned.day.coming), earlier((), ()), ask, how)


def _rolled(
    planned: Planned, today: Today, known: Earlier, ask: Ask, how: AskRolling
) -> RollingPlan:
    _check(how)
    everybody = [*today.came, *today.not_yet]
    services = how.prices.services() if how.prices else (ask.service, ask.service)
    spread = _spread(planned.no_show, everybody, known, how)
    frame = _frame(everybody, planned, ask.now, how.again)
    walk_ups = _walk_ups(frame, known, how)
    seen, parties = _seen(today, planned.no_show, known.shifts.shares, frame)
    kinds = day_kinds(spread, seen)
    line = targets(
        parties,
        frame.walking(walk_ups.mean),
        kinds,
        frame.askings,
        (services, planned.rule, planned.on_hand),
    )
    day = _thaw_day(everybody, known.shifts.shares, walk_ups, (spread, planned.rule), how)
    return RollingPlan(
        services=services,
        prices=how.prices,
        again=how.again,
        spread=spread,
        no_show_today=kinds.mean_no_show(spread.mean),
        walk_ups=walk_ups,
        shifts=known.shifts,
        came=len(today.came),
        targets=line,
        moves=moves_now(line[0], planned.on_hand),
        played=_played(day, services[0], how),
        days=how.days,
        seed=how.seed,
        findings=_unusual(spread, kinds.mean_no_show(spread.mean)),
    )


def _unusual(spread: DaySpread, today: float) -> tuple[Finding, ...]:
    """Return a finding where so few came that the record may lag behind the hall."""
    if not is_unusual(spread, today):
        return ()
    says = (
        f"So few came that the no-shows of today point to {percent(today)}, more than on nine "
        "days in ten. See that doses given are recorded: those that are not count as people "
        "who stayed away, and too little is moved. In doubt follow the table of half-hours."
    )
    return (Finding(Level.CHECK, "fewer-came-than-usual", says),)


def _check(how: AskRolling) -> None:
    if not SLOT <= how.again <= _DAY:
        raise RecordError(
            f"asked again after {how.again}", advice="every 5 minutes at the most, as in 30"
        )
    if how.walk_ups_an_hour is not None and not 0 <= how.walk_ups_an_hour < float("inf"):
        raise RecordError(f"{how.walk_ups_an_hour} walk-ups an hour", advice="0 or more people")


@dataclass(frozen=True, slots=True)
class _Frame:
    """The day cut up: its half-hours, when the plan is asked, and until when moves last."""

    half_hours: tuple[Instant, ...]
    is_today: bool
    zone: ZoneInfo
    asked: tuple[Instant, ...]
    ends: tuple[Instant, ...]
    askings: tuple[Asking, ...]

    def walking(self, mean: Mapping[time, float]) -> list[float]:
        """Return the walk-ups from now until each end; the running half-hour counts whole."""
        start = half_hour_of(self.asked[0], self.zone) if self.is_today else self.half_hours[0]
        coming = [each for each in self.half_hours if each >= start]
        return [
            sum(
                mean.get(local_time(each, self.zone), 0.0)
                for each in coming
                if each + HALF_HOUR <= end
            )
            for end in self.ends
        ]


def _frame(
    everybody: Sequence[Slot], planned: Planned, now: Instant, again: timedelta
) -> _Frame:
    zone, rule = planned.day.zone, planned.rule
    half_hours = tuple(_half_hours(everybody, zone))
    is_today = planned.day.day == local_date(now, zone)
    close = half_hours[-1] + HALF_HOUR
    first = half_hours[0] - (rule.in_fridge + rule.on_table)
    asked = [now if is_today else half_hour_of(Instant(first), zone)]
    following = half_hour_of(asked[0], zone) + again
    while following < close:
        asked.append(Instant(following))
        following += again
    rounded = [
        [_up_to_half_hour(min(end, Instant(close)), zone) for end in ends]
        for ends in ends_of(asked, rule, again)
    ]
    ends = sorted({end for row in rounded for end in row})
    askings = tuple(
        Asking(at, *(ends.index(end) for end in row))
        for at, row in zip(asked, rounded, strict=True)
    )
    return _Frame(half_hours, is_today, zone, tuple(asked), tuple(ends), askings)


def _half_hours(slots: Sequence[Slot], zone: ZoneInfo) -> list[Instant]:
    """Return every half-hour from the first to the last that somebody is booked in."""
    starts = sorted({half_hour_of(slot.at, zone) for slot in slots})
    count = (starts[-1] - starts[0]) // HALF_HOUR
    return [Instant(starts[0] + number * HALF_HOUR) for number in range(count + 1)]


def _up_to_half_hour(at: Instant, zone: ZoneInfo) -> Instant:
    start = half_hour_of(at, zone)
    return start if start == at else Instant(start + HALF_HOUR)


def _spread(
    no_show: NoShow, everybody: Sequence[Slot], known: Earlier, how: AskRolling
) -> DaySpread:
    """Return the day's share and spread: given, else learned, else the widest, and said so."""
    mean = sum(no_show.share(slot.group) for slot in everybody) / len(everybody)
    if how.day_spread is not None:
        return DaySpread(mean, how.day_spread, "given by hand")
    if known.no_show is not None:
        return DaySpread(mean, min(known.no_show.spread, widest(mean)), known.no_show.says)
    return DaySpread(mean, widest(mean), "not known how days differ: taken as widest")


def _walk_ups(frame: _Frame, known: Earlier, how: AskRolling) -> WalkUps:
    if how.walk_ups_an_hour is None:
        return known.walk_ups
    each = how.walk_ups_an_hour * (HALF_HOUR / _HOUR)
    return WalkUps(
        {local_time(start, frame.zone): each for start in frame.half_hours},
        f"{how.walk_ups_an_hour:g} an hour given by hand",
    )


def _seen(
    today: Today, no_show: NoShow, shifts: Mapping[int, float], frame: _Frame
) -> tuple[list[Seen], list[Party]]:
    """Return what today says so far, and who may still come; late counts after a while."""
    came = Counter(no_show.share(slot.group) for slot in today.came)
    not_yet = Counter(
        (no_show.share(slot.group), half_hour_of(slot.at, frame.zone)) for slot in today.not_yet
    )
    until_now = half_hour_of(Instant(frame.asked[0] - LATE), frame.zone)
    seen = [Seen(share, count, 0) for share, count in came.items()]
    parties = []
    for (share, place), people in sorted(not_yet.items()):
        here = _arrived(shifts, place, until_now) if frame.is_today else 0.0
        by_end = tuple(max(here, _arrived(shifts, place, end)) for end in frame.ends)
        seen.append(Seen(share, 0, people, here))
        parties.append(Party(share, people, by_end, here))
    return seen, parties


def _arrived(shifts: Mapping[int, float], place: Instant, end: Instant) -> float:
    return arrived_by(shifts, (end - place) // HALF_HOUR - 1)


def _thaw_day(
    everybody: Sequence[Slot],
    shifts: Mapping[int, float],
    walk_ups: WalkUps,
    told: tuple[DaySpread, ThawRule],
    how: AskRolling,
) -> ThawDay:
    """Return the whole day in short slots, from its start; shifts move shares of people."""
    spread, rule = told
    first, last = min(each.at for each in everybody), max(each.at for each in everybody)
    slots = (last - first) // SLOT + HALF_HOUR // SLOT
    expected = np.zeros(slots)
    for slot in everybody:
        for shift, share in shifts.items():
            number = (slot.at - first) // SLOT + shift * (HALF_HOUR // SLOT)
            expected[min(max(number, 0), slots - 1)] += share
    booked = np.diff(np.rint(np.cumsum(expected)), prepend=0).astype(np.int64)
    return ThawDay(
        booked=booked,
        walk_ups=sum(walk_ups.mean.values()) / slots,
        no_show=spread,
        doses_per_vial=rule.doses_per_vial,
        lead=-(-(rule.in_fridge + rule.on_table) // SLOT),
        again=-(-how.again // SLOT),
    )


def _played(day: ThawDay, service: float, how: AskRolling) -> tuple[CameTo, ...]:
    prices = how.prices or _ONE_EACH
    days = drawn_days(day, how.days, np.random.default_rng(how.seed))
    minutes = how.again // timedelta(minutes=1)
    rules = (
        ("thaw for all bookings", at_once(for_all_bookings(day))),
        ("thaw for the mean", at_once(for_the_mean(day))),
        (f"the night before, {percent(service)}", at_once(the_night_before(day, service))),
        (f"asked every {minutes} min, {percent(service)}", rolling(service)),
    )
    return tuple(
        came_to(name, rule, day, days, (prices.person, prices.chilled)) for name, rule in rules
    )


def _today(site: Site, booked: Booked, day: date) -> Today:
    came: list[Slot] = []
    not_yet: list[Slot] = []
    for state, booking in booked:
        if _day(booking, site) != day or is_walk_up(booking, site):
            continue
        slot = Slot(from_ms(booking.slot_ms), booking.group)
        (came if had_dose_on(state, day, site.zone) else not_yet).append(slot)
    return Today(came, not_yet)


def _day(booking: Booking, site: Site) -> date:
    return local_date(from_ms(booking.slot_ms), site.zone)
