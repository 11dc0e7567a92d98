"""A day of the record made ready to be played again, with the times that the record gives."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate
from statistics import median

from thawline.app.day_stamps import DaysTold, VialTold, lines, told, visits
from thawline.app.in_force import InForce, in_force
from thawline.app.ports import Site
from thawline.app.standby import LATE
from thawline.base.errors import NotFoundError
from thawline.base.instants import Instant, local_date, midnight_before
from thawline.plan.at_work import at_work, tables_at_work
from thawline.plan.clinic_day import Vials
from thawline.plan.day_record import Recorded, Visit, recorded, way_to_chair
from thawline.plan.half_hours import HALF_HOUR, half_hour_of
from thawline.plan.quantile_tables import Law, constant, later, measured
from thawline.plan.replay import STEP, Comer, Example, ReplayDay
from thawline.plan.service_times import (
    LONG_TURN,
    Line,
    ServiceTimes,
    Timed,
    service_times,
    timed,
)
from thawline.plan.thaw import ThawRule, thaw_rule
from thawline.rules.protocol import Protocol, ProtocolRef, Starts

_AFTER = timedelta(hours=1)  # room after the last stamp for played days that end later
_AT_ONCE = constant(timedelta(milliseconds=1))  # a dose drawn at the chair, in the chair's time


@dataclass(frozen=True, slots=True, eq=False)
class Replay:
    """
    One day of the record, and the same ready to be played.

    Args:
        day: Which.
        begins: When the first half hour begins.
        opens: From when people were ready; `closes`: when the last dose was given.
        recorded: What the record says of it.
        played: The day as it is played.
        times: How long a person keeps a chair by the site's own record; None: too few turns.
        timed: Of each day of the record up to this one, what its turns were.
        to_come: People booked for later, on a day that is not over.
        guessed: People seated for whom nobody stamped the screening.
        vials_opened: On that day.
        tables: At which doses were drawn that day; 0: at the chairs, or not on record.
        example: What was taken where the record says too little.
        ref: The protocol that was in force.
    """

    day: date
    begins: Instant
    opens: Instant
    closes: Instant
    recorded: Recorded
    played: ReplayDay
    times: ServiceTimes | None
    timed: tuple[Timed, ...]
    to_come: int
    guessed: int
    tables: int
    vials_opened: int
    example: Example
    ref: ProtocolRef


def replay_of(site: Site, day: date, example: Example) -> Replay:
    """
    Return one day of a site's record, ready to be played.

    On a day that is not over, who is booked for later has not stayed away.

    Raises:
        NotFoundError: Nobody had a dose that day.
    """
    with site.ledger.view() as view:
        found = told(site, view, day)
        rules = in_force(site, view, midnight_before(day, site.zone))
        stamped = found.people.get(day, {})
        everybody = visits(site, view, day, stamped, rules.protocol.observation)
    due = Instant(site.now() - LATE)
    seen = [v for v in everybody if v.came_by or v.booked is None or v.booked <= due]
    if not any(each.dosed is not None for each in seen):
        raise NotFoundError(
            f"no dose is on record on {day.isoformat()}", advice="ask about a day with doses"
        )
    return _replay(
        _Seen(site, day, seen, found, example, way_to_chair(seen)),
        rules,
        len(everybody) - len(seen),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """What was gathered of a day, and what is taken where it says too little."""

    site: Site
    day: date
    visits: Sequence[Visit]
    found: DaysTold
    example: Example
    way: timedelta

    @property
    def draws(self) -> Mapping[str, Sequence[Instant]]:
        """
        Return when doses were drawn that day, by table.

        Nothing where fewer are on record than were given: the rest was drawn somewhere else.
        """
        moves = self.found.drawn.get(self.day, [])
        drawn = sum(doses for _, doses in moves if doses > 0)
        given = sum(visit.dosed is not None for visit in self.visits)
        return self.found.draws.get(self.day, {}) if drawn >= given else {}

    def ready(self, visit: Visit) -> Instant | None:
        """
        Return from when somebody stood in line for a chair; None: never.

        Where the screening is not stamped: the time it takes after the time booked, and no
        later than the first scan.
        """
        if visit.seated is None:
            return None
        if visit.to_chair is not None and visit.screened is not None:
            return min(Instant(visit.screened + self.way), visit.seated)
        due = visit.booked or visit.registered
        if due is None:
            return visit.seated
        return min(Instant(due + self.example.before_chair), visit.seated)


@dataclass(frozen=True, slots=True)
class _Frame:
    """The hours of the day: when they begin and how many half hours there are."""

    begins: Instant
    opens: Instant
    closes: Instant
    halves: int

    @property
    def grid(self) -> tuple[Instant, timedelta, int]:
        """Return begin, length and number of the steps in which people at work are counted."""
        return self.begins, STEP, self.halves * (HALF_HOUR // STEP)


def _replay(seen: _Seen, rules: InForce, to_come: int) -> Replay:
    in_line = lines(seen.found)
    turns = tuple(timed(line) for line in in_line.values())
    times = service_times([each.turns_s for each in turns])
    frame = _frame(seen)
    chair = seen.example.chair if times is None else _measured(turns)
    longest = _longest(chair, turns)
    return Replay(
        day=seen.day,
        begins=frame.begins,
        opens=frame.opens,
        closes=frame.closes,
        recorded=recorded(seen.visits, seen.way, frame.begins, frame.halves),
        played=_played(seen, rules.protocol, frame, in_line[seen.day], (chair, longest)),
        times=times,
        timed=turns,
        to_come=to_come,
        guessed=sum(v.seated is not None and v.to_chair is None for v in seen.visits),
        tables=len(seen.draws),
        vials_opened=sum(_opened_on(seen, each) for each in seen.found.vials.values()),
        example=seen.example,
        ref=rules.ref,
    )


def _frame(seen: _Seen) -> _Frame:
    ready = [at for at in map(seen.ready, seen.visits) if at is not None]
    closes = max(each.dosed for each in seen.visits if each.dosed is not None)
    first = min([*ready, *(at for drawn in seen.draws.values() for at in drawn)])
    begins = half_hour_of(first, seen.site.zone)
    return _Frame(begins, min(ready), closes, math.ceil((closes + _AFTER - begins) / HALF_HOUR))


def _played(
    seen: _Seen, protocol: Protocol, frame: _Frame, line: Line, turn: tuple[Law, timedelta]
) -> ReplayDay:
    """Return the day as it is played; of a turn the law, and how long none lasts."""
    chair, longest = turn
    draws = tuple(seen.draws.values())
    vials, thawed = _vials(seen, protocol, frame.begins, frame.opens)
    return ReplayDay(
        people=tuple(_comers(seen, frame.begins)),
        lateness=_lateness(seen),
        chair=chair,
        chairs=at_work(line, longest, *frame.grid),
        drawing=seen.example.drawing if draws else _AT_ONCE,
        tables=tables_at_work(draws, line, *frame.grid),
        vials=vials,
        thawed=thawed,
        ahead=_most_drawn(seen.found.drawn.get(seen.day, [])) if draws else 1,
        needle=_needle(seen.visits),
        stayed_away=_stayed_away(seen.visits),
    )


def _measured(turns: Sequence[Timed]) -> Law:
    return measured([timedelta(seconds=turn) for each in turns for turn in each.turns_s])


def _longest(chair: Law, turns: Sequence[Timed]) -> timedelta:
    """Return how long a turn takes at most: what is longer is a break."""
    known = [turn for each in turns for turn in each.turns_s]
    return timedelta(seconds=LONG_TURN * (median(known) if known else chair.moments()[0]))


def _comers(seen: _Seen, begins: Instant) -> Iterator[Comer]:
    """Yield everybody who sat down, and who was booked and stayed away."""
    for visit in seen.visits:
        ready = seen.ready(visit)
        if ready is None and (visit.came_by is not None or visit.booked is None):
            continue
        stays = timedelta(0)
        if visit.dosed is not None and visit.left is not None:
            stays = max(visit.left - visit.dosed, stays)
        yield Comer(
            due=None if visit.booked is None else visit.booked - begins,
            ready=None if ready is None else ready - begins,
            takes_dose=ready is None or visit.dosed is not None,
            stays=stays,
        )


def _lateness(seen: _Seen) -> Law:
    """Return how long after the time booked those who came were in line."""
    known = [
        ready - visit.booked
        for visit in seen.visits
        if visit.booked is not None and (ready := seen.ready(visit)) is not None
    ]
    if not known:
        return constant(seen.example.before_chair)
    least = min(known) - timedelta(seconds=1)
    return later(measured([each - least for each in known]), least)


def _stayed_away(visits_: Sequence[Visit]) -> float:
    booked = [each for each in visits_ if each.booked is not None]
    return sum(each.came_by is None for each in booked) / max(len(booked), 1)


def _needle(visits_: Sequence[Visit]) -> timedelta:
    """Return the middle time from the first scan to the dose."""
    known_s = [
        (visit.dosed - visit.seated).total_seconds()
        for visit in visits_
        if visit.dosed is not None and visit.seated is not None
    ]
    return timedelta(seconds=max(median(known_s), 0)) if known_s else timedelta(0)


def _most_drawn(moves: Sequence[tuple[Instant, int]]) -> int:
    """Return the most doses that lay drawn at once that day."""
    in_order = sorted(moves, key=lambda move: (move[0], move[1]))
    return max(1, *accumulate(doses for _, doses in in_order))


def _vials(
    seen: _Seen, protocol: Protocol, begins: Instant, first_ready: Instant
) -> tuple[Vials, tuple[bool, ...]]:
    """
    Return the vials that could be opened that day, and which were thawed at its start.

    Where more doses were given than the vials on record hold, there is always one.
    """
    rule = thaw_rule(protocol)
    there = [
        (max(at - begins, timedelta(0)), _was_out(vial, first_ready))
        for vial in seen.found.vials.values()
        if (at := _ready_at(seen, vial, rule)) is not None
    ]
    there.sort()
    life = min(
        clock.allows.longest()
        for clock in protocol.clocks.values()
        if clock.starts_on is Starts.OPEN
    )
    given = sum(visit.dosed is not None for visit in seen.visits)
    if len(there) * rule.doses_per_vial < given:
        return Vials(rule.doses_per_vial, life), ()
    ready = tuple(at for at, _ in there)
    return Vials(rule.doses_per_vial, life, ready), tuple(was for _, was in there)


def _was_out(vial: VialTold, first_ready: Instant) -> bool:
    return vial.out_of_freezer is not None and vial.out_of_freezer <= first_ready


def _opened_on(seen: _Seen, vial: VialTold) -> bool:
    zone = seen.site.zone
    return vial.opened is not None and local_date(vial.opened, zone) == seen.day


def _ready_at(seen: _Seen, vial: VialTold, rule: ThawRule) -> Instant | None:
    """
    Return from when a vial could be opened that day; None: not on that day.

    One that stayed in the refrigerator could have been brought once it was thawed.
    """
    zone = seen.site.zone
    if vial.opened is not None:
        before = Instant((vial.on_table or vial.opened) + rule.on_table)
        return min(vial.opened, before) if _opened_on(seen, vial) else None
    over = vial.ended is not None and local_date(vial.ended, zone) < seen.day
    if vial.held or over or vial.out_of_freezer is None:
        return None
    brought = vial.on_table or Instant(vial.out_of_freezer + rule.in_fridge)
    return None if local_date(brought, zone) > seen.day else Instant(brought + rule.on_table)
