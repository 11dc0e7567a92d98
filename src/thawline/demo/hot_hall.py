"""
31 faints in a hot hall, and two days later a suspected anaphylaxis at a small site.

At Harrowmint, on Tuesday 3 February, the heating cannot be turned down after lunch. The
observer writes each faint on the sheet, which is typed in before the day is closed. At Oddmoor,
on Thursday at about 14:10, epinephrine is given four minutes after a dose.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from random import Random

from thawline.adapters.randomness import seeded_mint
from thawline.adapters.reaction_tables import reaction_named
from thawline.adapters.wiring import open_site
from thawline.app.acts import Doing
from thawline.app.observing import stamp
from thawline.app.ports import Site
from thawline.app.reactions import FAINT, doses_and_seen, note_reaction
from thawline.base.instants import Instant, exactly, from_ms, midnight_before, zone_named
from thawline.demo.acts import NotAsPlannedError
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.clock import MovedClock
from thawline.demo.cold_store import after
from thawline.demo.crew import crew_of
from thawline.demo.district import TUESDAY, dice
from thawline.demo.thursday import thursday
from thawline.person.fold import PERSON, DoseHad
from thawline.report.reactions import classified
from thawline.report.seen import Doses

LIBRARY = "oddmoor"
FAINTS = 31
ANAPHYLAXIS = "anaphylaxis"
_HOT_FROM_S, _HOT_UNTIL_S = 13 * HOUR_S + 30 * MINUTE_S, 17 * HOUR_S + 30 * MINUTE_S
_TUESDAY_ENDS_S = 17 * HOUR_S
_DOWN_S, _LIES_S = (2 * MINUTE_S, 14 * MINUTE_S), (4 * MINUTE_S, 12 * MINUTE_S)
_STAMPS_S = (("called", 4 * MINUTE_S), ("given", 4 * MINUTE_S + 20), ("crew", 17 * MINUTE_S))
_NOTED_S = 35 * MINUTE_S


@dataclass(frozen=True, slots=True, eq=False)
class HotHall:
    """What was counted of both, by site, lot and number of the dose."""

    faints: tuple[Doses, ...]
    anaphylaxis: tuple[Doses, ...]
    person: str
    note: str


def hot_hall(home: Path, hall: Site, seed: int, zone: str) -> HotHall:
    """Play the small site's Thursday with its emergency, and count both kinds at both sites."""
    clock = MovedClock(after(midnight_before(TUESDAY, zone_named(zone)), _TUESDAY_ENDS_S))
    mint = seeded_mint(clock.now, dice(seed, LIBRARY, "reactions").getrandbits(32))
    small = open_site(home, LIBRARY, now=clock.now, mint=mint)
    person, note = _emergency(small, seed, thursday(small, clock, seed, zone))
    sites = (hall, small)
    return HotHall(
        tuple(doses_and_seen(sites, FAINT)),
        tuple(doses_and_seen(sites, ANAPHYLAXIS)),
        person,
        note,
    )


def _doing(site: Site, seed: int, at: Instant) -> Doing:
    observer = crew_of(site.name, seed).observers[0]
    return Doing(
        by=observer,
        occurred=exactly(at),
        recorded_at=site.now(),
        id=site.mint(),
        station="observation area",
    )


def _given(
    site: Site, midnight: Instant, from_s: int, until_s: int
) -> list[tuple[str, DoseHad]]:
    """Return who had a dose between two times of the day, by when."""
    with site.ledger.view() as view:
        found = [
            (person, dose)
            for person, state in view.all(PERSON)
            for dose in state.doses
            if after(midnight, from_s) <= from_ms(dose.hi_ms) < after(midnight, until_s)
        ]
    return sorted(found, key=lambda each: (each[1].hi_ms, each[0]))


def type_sheet(site: Site, seed: int, midnight: Instant) -> None:
    """Type in the sheet of faints of a hot afternoon, each down and up again."""
    throws = dice(seed, site.name, TUESDAY, "faints")
    people = _given(site, midnight, _HOT_FROM_S, _HOT_UNTIL_S)
    if len(people) < FAINTS:
        raise NotAsPlannedError(f"{len(people)} doses on a hot afternoon")
    for person, dose in sorted(throws.sample(people, FAINTS)):
        for what, at in _down_and_up(throws, from_ms(dose.hi_ms)):
            stamp(site, _doing(site, seed, at), what, person=person)


def _down_and_up(throws: Random, given: Instant) -> Iterator[tuple[str, Instant]]:
    down = Instant(given + timedelta(seconds=throws.randint(*_DOWN_S)))
    yield "down", down
    yield "up", Instant(down + timedelta(seconds=throws.randint(*_LIES_S)))


def _emergency(site: Site, seed: int, person: str) -> tuple[str, str]:
    """Stamp and note what followed the person's dose."""
    with site.ledger.view() as view:
        state = view.one(PERSON, person)
    if state is None or not state.doses:
        raise NotAsPlannedError(f"{person} had no dose on Thursday")
    given = from_ms(state.doses[-1].hi_ms)
    for what, later_s in _STAMPS_S:
        at = Instant(given + timedelta(seconds=later_s))
        stamp(site, _doing(site, seed, at), what, card="1", person=person)
    noted = _doing(site, seed, Instant(given + timedelta(seconds=_NOTED_S)))
    began = Instant(given + timedelta(seconds=_STAMPS_S[0][1] - MINUTE_S))
    note_reaction(
        site, noted, person, classified(reaction_named(ANAPHYLAXIS), ()), exactly(began)
    )
    return person, str(noted.id)
