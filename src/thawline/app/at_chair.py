"""
What the chair sees of a person: dose, screening, last arm, and the dose in hand as it is now.

A check that was noted is asked anew each time it is looked at: a vial may be held, or run past
its use-by, between the scan and the needle.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from thawline.app.doses import Checked, Unrecorded, question
from thawline.app.front_desk import AtDesk, at_desk
from thawline.app.in_hand import Needle, gathered
from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, exactly, from_ms, local_date
from thawline.base.stations import same_station
from thawline.give.facts import DoseFacts
from thawline.ledger.entries import View
from thawline.person.fold import Check, DoseHad, Screening, last_screening, open_checks


@dataclass(frozen=True, slots=True)
class InHand:
    """
    The dose that was scanned for a person, what the rules say to it now, and the check.

    `may` is the check's answer, as long as nothing has come up that it did not know of.
    """

    check: Check
    dose: DoseFacts
    now: Checked

    @property
    def may(self) -> bool:
        """Say whether the dose may be given now."""
        return self.check.may and not self.since

    @property
    def since(self) -> tuple[Finding, ...]:
        """The stops that have come up since the check."""
        return tuple(
            each
            for each in self.now.findings
            if each.level is Level.STOP and each.code not in self.check.codes
        )


@dataclass(frozen=True, slots=True)
class AtChair:
    """One person as the chair sees them; `in_hand` is None until a dose is scanned."""

    desk: AtDesk
    screening: Screening | None
    last: DoseHad | None
    given_today: DoseHad | None
    in_hand: InHand | None


def at_chair(site: Site, view: View, person: str, station: str, at: Instant) -> AtChair:
    """
    Return what the chair sees of a person.

    Raises:
        NotFoundError: Nobody of that code is on record here.
    """
    desk = at_desk(site, view, person, at)
    today = local_date(at, site.zone)
    last = desk.state.doses[-1] if desk.state.doses else None
    is_today = last is not None and local_date(from_ms(last.hi_ms), site.zone) == today
    screening = last_screening(desk.state, at, site.zone)
    in_hand = _in_hand(site, view, desk, station, at)
    return AtChair(desk, screening, last, last if is_today else None, in_hand)


def _in_hand(site: Site, view: View, desk: AtDesk, station: str, at: Instant) -> InHand | None:
    today = local_date(at, site.zone)
    checks = [
        check
        for check in open_checks(desk.state)
        if local_date(from_ms(check.at_ms), site.zone) == today
    ]
    if not checks:
        return None
    check = checks[-1]
    needle = Needle(
        desk.person,
        check.syringe,
        check.vial,
        screened_by=check.screened_by,
        screening=check.screening,
    )
    known = gathered(site, view, needle, station, exactly(at))
    return InHand(check, known.dose, question(site, needle, station, at))


def unanswered_at(
    found: Iterable[Unrecorded], station: str, beside: str = ""
) -> tuple[Unrecorded, ...]:
    """Return who was checked at a chair and has no dose recorded, but for the one in it."""
    return tuple(
        each for each in found if same_station(each.station, station) and each.person != beside
    )
