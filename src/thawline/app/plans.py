"""The thaw plan of a day, from the ledger or from a file of bookings."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from zoneinfo import ZoneInfo

from thawline.app.in_force import in_force
from thawline.app.passed_places import Booked, visits_before
from thawline.app.ports import Site
from thawline.app.thawed import Thawed, on_hand_for, thawed_vials
from thawline.base.errors import NotFoundError, RecordError
from thawline.base.findings import Finding
from thawline.base.instants import Instant, from_ms, local_date
from thawline.person.bookings import had_dose_on
from thawline.person.fold import PERSON, Booking
from thawline.plan.half_hours import Place, half_hour_of, half_hours
from thawline.plan.moves import Keeps, before_the_first, keeps, late_moves
from thawline.plan.no_show import NoShow, learned
from thawline.plan.possible import lives_through_the_thaw, outside_hours, somebody_comes
from thawline.plan.thaw import OnHand, ThawPlan, ThawRule, thaw_plan, thaw_rule
from thawline.rules.protocol import Protocol, ProtocolRef
from thawline.store.nights import night_of

_NOTHING = OnHand()


@dataclass(frozen=True, slots=True)
class Ask:
    """What is asked: which day (None: the next with bookings), how sure, and from when."""

    now: Instant
    day: date | None
    service: float
    no_show: NoShow | None


@dataclass(frozen=True, slots=True)
class Slot:
    """One booking as the plan sees it."""

    at: Instant
    group: str


@dataclass(frozen=True, slots=True)
class Day:
    """
    The bookings of a day that are still to come, at a place.

    `passed` counts bookings of half-hours that are over, of people without a dose that day.
    `as_of` is when the newest booking was recorded, or the file saved; None: not known.
    """

    day: date
    zone: ZoneInfo
    coming: tuple[Slot, ...]
    passed: int
    as_of: Instant | None


@dataclass(frozen=True, slots=True)
class Given:
    """What a plan from a file is told besides: the place, what is ready, when it was saved."""

    zone: ZoneInfo
    on_hand: OnHand
    as_of: Instant | None


@dataclass(frozen=True, slots=True)
class Planned:
    """A plan with everything it rests on."""

    plan: ThawPlan
    rule: ThawRule
    day: Day
    no_show: NoShow
    on_hand: OnHand
    before_first: int
    keeps: Keeps
    findings: tuple[Finding, ...]
    ref: ProtocolRef


def plan_for_site(site: Site, ask: Ask) -> Planned:
    """
    Return the thaw plan of a day from the site's own bookings and vials.

    Raises:
        NotFoundError: Nobody is booked that day.
        RecordError: No no-show share is given and there is no earlier day to learn from.
    """
    with site.ledger.view() as view:
        states = [state for _, state in view.all(PERSON)]
        booked = [(state, b) for state in states for b in state.bookings]
        day = _site_day(site, booked, _chosen_day(booked, ask, site.zone), ask.now)
        no_show = ask.no_show or _learned(site, booked, day.day)
        first = min((slot.at for slot in day.coming), default=ask.now)
        rules = in_force(site, view, max(first, ask.now))
        vials = thawed_vials(view, in_force(site, view, ask.now), ask.now)
    told = (no_show, ask.service, rules.protocol)
    ready = _on_hand(site, booked, day, ask.now, vials, told)
    planned = _planned(day, ask, told, ready, rules.ref)
    return replace(planned, findings=(*planned.findings, *_outside_hours(site, day)))


def plan_for_slots(
    slots: Sequence[Slot],
    ask: Ask,
    rules_on: Callable[[Instant], tuple[Protocol, ProtocolRef]],
    given: Given,
) -> Planned:
    """
    Return the thaw plan of a day from a list of bookings, without a site.

    Args:
        slots: Every booking of the file.
        ask: A day must be named when the file holds several; a no-show share must be given.
        rules_on: The protocol in force at an instant.
        given: What the file cannot say.

    Raises:
        NotFoundError: Nobody is booked that day.
        RecordError: The day or the no-show share is missing.
    """
    if ask.no_show is None:
        raise _no_share()
    days = sorted({local_date(slot.at, given.zone) for slot in slots})
    if ask.day is None and len(days) > 1:
        raise RecordError(
            f"bookings on {len(days)} days, from {days[0]} to {days[-1]}",
            advice=f"say which day, as in --on {days[0]}",
        )
    wanted = ask.day or (days[0] if days else None)
    coming = tuple(slot for slot in slots if local_date(slot.at, given.zone) == wanted)
    if wanted is None or not coming:
        raise _nobody(wanted)
    protocol, ref = rules_on(min(slot.at for slot in coming))
    day = Day(wanted, given.zone, coming, 0, given.as_of)
    return _planned(day, ask, (ask.no_show, ask.service, protocol), given.on_hand, ref)


_Told = tuple[NoShow, float, Protocol]
"""What turns bookings into vials: who stays away, how sure to be, and the rules."""


def _plan(day: Day, told: _Told, ready: OnHand) -> ThawPlan:
    no_show, service, protocol = told
    if day.coming:
        somebody_comes(no_show.share(slot.group) for slot in day.coming)
    lives_through_the_thaw(keeps(protocol), thaw_rule(protocol))
    places = (Place(slot.at, 1 - no_show.share(slot.group)) for slot in day.coming)
    return thaw_plan(half_hours(places, day.zone), thaw_rule(protocol), service, ready)


def _planned(day: Day, ask: Ask, told: _Told, ready: OnHand, ref: ProtocolRef) -> Planned:
    no_show, _, protocol = told
    plan = _plan(day, told, ready)
    is_over = day.day < local_date(ask.now, day.zone)
    return Planned(
        plan=plan,
        rule=thaw_rule(protocol),
        day=day,
        no_show=no_show,
        on_hand=ready,
        before_first=before_the_first(plan),
        keeps=keeps(protocol),
        findings=() if is_over else late_moves(plan, ask.now, protocol),
        ref=ref,
    )


def _outside_hours(site: Site, day: Day) -> tuple[Finding, ...]:
    night = site.night
    if night is None:
        return ()
    places = [slot.at for slot in day.coming]
    nights = [night_of(night, at, site.zone) for at in places]
    closed = [each.starts <= at for each, at in zip(nights, places, strict=True)]
    said = f"{night.starts:%H:%M} to {night.ends:%H:%M}"
    return outside_hours(places, said, closed, site.zone)


def _chosen_day(booked: Booked, ask: Ask, zone: ZoneInfo) -> date:
    if ask.day is not None:
        return ask.day
    start = half_hour_of(ask.now, zone)
    coming = [from_ms(b.slot_ms) for _, b in booked if from_ms(b.slot_ms) >= start]
    if not coming:
        raise _nobody(None)
    return local_date(min(coming), zone)


def _site_day(site: Site, booked: Booked, day: date, now: Instant) -> Day:
    """Return a day's bookings; today's from the running half-hour on, without those done."""
    of_day = [(state, b) for state, b in booked if _day_of(b, site) == day]
    if not of_day:
        raise _nobody(day)
    waiting = [b for state, b in of_day if not had_dose_on(state, day, site.zone)]
    start = half_hour_of(now, site.zone)
    is_today = local_date(now, site.zone) == day
    coming = [b for b in waiting if not is_today or from_ms(b.slot_ms) >= start]
    return Day(
        day=day,
        zone=site.zone,
        coming=tuple(Slot(from_ms(b.slot_ms), b.group) for b in coming),
        passed=len(waiting) - len(coming),
        as_of=max((from_ms(b.recorded_ms) for _, b in of_day if b.recorded_ms), default=None),
    )


def _on_hand(
    site: Site, booked: Booked, day: Day, now: Instant, vials: Sequence[Thawed], told: _Told
) -> OnHand:
    """
    Return what is thawed already and counts for the day.

    For the next day with bookings, what today still needs is taken off first; for days after
    that, and for days that are over, nothing is counted.
    """
    needs = _plan(day, told, _NOTHING).needs
    today = local_date(now, site.zone)
    if day.day == today:
        return on_hand_for(vials, needs)
    days = {_day_of(b, site) for _, b in booked}
    if day.day < today or any(today < each < day.day for each in days):
        return _NOTHING
    if today not in days:
        return on_hand_for(vials, needs)
    running = _site_day(site, booked, today, now)
    ready = on_hand_for(vials, _plan(running, told, _NOTHING).needs)
    in_fridge = [vial for vial in vials if not vial.on_table]
    return on_hand_for(in_fridge, needs, _plan(running, told, ready).planned_vials)


def _learned(site: Site, booked: Booked, day: date) -> NoShow:
    """Return the share of bookings without a dose, on earlier days that had any dose."""
    seen = learned(visits_before(site, booked, day))
    if seen is None:
        raise _no_share()
    return seen


def _day_of(booking: Booking, site: Site) -> date:
    return local_date(from_ms(booking.slot_ms), site.zone)


def _nobody(day: date | None) -> NotFoundError:
    when = "from now on" if day is None else f"on {day.isoformat()}"
    return NotFoundError(f"nobody is booked {when}", advice="thawline booking list")


def _no_share() -> RecordError:
    return RecordError(
        "no no-show share is given, and there is no earlier day here to learn from",
        advice="add --no-show 0.08, or a file with a share for each group",
    )
