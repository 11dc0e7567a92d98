"""
The end of the day: the close-out finds a dose that nobody recorded, and two people sign.

First it does not balance and cannot be signed. The places it names are looked at: the person
of the first is asked by phone, what happened is recorded as it happened, and it balances.
"""

from dataclasses import dataclass, replace
from datetime import timedelta

from thawline.adapters.missing_dose import weights
from thawline.app import closing, doses
from thawline.app.acts import second_person
from thawline.app.closing import CloseOut
from thawline.app.ports import Site
from thawline.base.errors import RefusedError
from thawline.base.findings import Finding
from thawline.base.instants import Instant, exactly, local_date
from thawline.demo.acts import FREEZER, NotAsPlannedError, Player
from thawline.demo.clock import MovedClock
from thawline.demo.crew import Crew
from thawline.vial.folds import CARTON

_COUNTED = timedelta(minutes=10)
_FIRST_LOOK = timedelta(minutes=10)
_ASKED_BY_PHONE = timedelta(minutes=12)
_SIGNED = timedelta(minutes=8)
_TO_NEEDLE = timedelta(seconds=40)


@dataclass(frozen=True, slots=True)
class Closed:
    """
    The day's close-out: first run at `asked`, why it could not be signed, and at the end.

    `answered` is when the people were asked who had been checked with nothing after it.
    """

    asked: Instant
    first: CloseOut
    refused: tuple[Finding, ...]
    answered: Instant
    last: CloseOut


def close(
    site: Site, player: Player, clock: MovedClock, crew: Crew, pins: dict[str, str]
) -> Closed:
    """Count, look, find what is missing, and sign."""
    day = local_date(clock.now(), site.zone)
    clock.move(Instant(clock.now() + _COUNTED))
    _count_freezer(site, player, crew)
    asked = Instant(clock.now() + _FIRST_LOOK)
    clock.move(asked)
    first = closing.close_out(site, day, asked, weights())
    refused = _sign(site, player, crew, pins)
    answered = Instant(asked + _ASKED_BY_PHONE)
    clock.move(answered)
    _answer(site, player, crew, first)
    clock.move(Instant(answered + _SIGNED))
    if against := _sign(site, player, crew, pins):
        raise NotAsPlannedError(f"the day could not be closed: {against}")
    last = closing.close_out(site, day, clock.now(), weights())
    return Closed(asked, first, refused, answered, last)


def _count_freezer(site: Site, player: Player, crew: Crew) -> None:
    """Count the sealed cartons, in doses; nobody looks at the book before."""
    with site.ledger.view() as view:
        cartons = [carton for _, carton in view.all(CARTON) if carton.unit == FREEZER]
    for carton in cartons:
        counted = carton.vials * carton.doses_per_vial
        doing = player.doing(crew.coordinator, FREEZER)
        closing.count(site, doing, f"stock:{FREEZER}", carton.lot, counted)


def _sign(site: Site, player: Player, crew: Crew, pins: dict[str, str]) -> tuple[Finding, ...]:
    """Sign the day by two people; returns why it cannot be signed, nothing when it is."""
    doing = player.doing(crew.lead)
    second = second_person(site, crew.lead, crew.coordinator, pins[crew.coordinator])
    day = local_date(doing.at, site.zone)
    try:
        closing.sign(site, replace(doing, second=second), day, weights())
    except RefusedError as error:
        return error.findings
    return ()


def _answer(site: Site, player: Player, crew: Crew, first: CloseOut) -> None:
    """Record what those say who were checked with nothing after it: a dose had, or none."""
    missing = {search.gap.account.partition(":")[2] for search in first.searches}
    for each in first.unrecorded:
        if each.syringe in missing:
            _record_late(site, player, crew, each)
        else:
            doing = player.doing(crew.lead, each.station, "asked by phone: changed their mind")
            doses.not_given(site, doing, each.person)


def _record_late(site: Site, player: Player, crew: Crew, each: doses.Unrecorded) -> None:
    """Record a dose at the time it was given, hours before it is typed."""
    doing = player.doing(crew.lead, each.station, "asked by phone: had it, left arm")
    given_at = exactly(Instant(each.at + _TO_NEEDLE))
    needle = player.needle(each.person, each.syringe or "", "left")
    doses.give(site, replace(doing, occurred=given_at), needle)
