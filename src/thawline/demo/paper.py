"""
Tuesday 3 March at Harrowmint Hall: a second dose given on paper, too early.

The line was down in the morning and the desk wrote on paper, where nobody counted the days.
The card says that the first dose was given elsewhere, 22 days before. It is found when the
paper is typed in: a fact, recorded as it happened, with what to do about it and a report to
fill in. Nobody was asked by the rules before the needle; had they been, they would refuse.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from uuid import UUID

from thawline.adapters import sites
from thawline.adapters.pins import FilePins
from thawline.adapters.randomness import seeded_mint
from thawline.adapters.wiring import make_site, open_site
from thawline.app import calculators, doses, observing, vials
from thawline.app.acts import Doing, second_person
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle
from thawline.app.ports import Name, Site
from thawline.app.receiving import Label, receive_frozen
from thawline.base.findings import Finding
from thawline.base.instants import Instant, exactly, midnight_before, zone_named
from thawline.demo import lots
from thawline.demo.acts import FREEZER, NotAsPlannedError
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.clock import MovedClock
from thawline.demo.crew import crew_of
from thawline.demo.district import DAYS, PLACES, dice
from thawline.demo.people import Person, standby_names
from thawline.demo.rules_in_use import adopt_shipped
from thawline.give.deviations import report_draft
from thawline.ledger.events import DoseDrawn, EarlierDoseTold, VialMoved
from thawline.receive.inspection import Arrival

DAY = date(2026, 3, 3)
FIRST = DAY - timedelta(days=22)
_GIVEN_S = 10 * HOUR_S + 20 * MINUTE_S
_TYPED_S = 18 * HOUR_S + 40 * MINUTE_S
_ON_ARRIVAL_C = Decimal("-21.5")
_PIN = "284651"
_VIALS = 2
_KIT = ("5@2026-08-31",)


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What typing the paper in answered: the findings, and the draft of a report."""

    home: Path
    site: Site
    person: Person
    first: date
    given_at: Instant
    typed_at: Instant
    findings: tuple[Finding, ...]
    draft: tuple[str, ...]


def early_on_paper(home: Path, seed: int, zone: str) -> OnPaper:
    """Make the day in a home of its own, and type in what the paper says."""
    return _Paper(home, seed, zone).typed_in()


class _Paper:
    """Harrowmint's Tuesday in March, as far as the story needs it."""

    def __init__(self, home: Path, seed: int, zone: str) -> None:
        self._home, self._place = home, PLACES[0]
        self._crew = crew_of(self._place.name, seed)
        self._midnight = midnight_before(DAY, zone_named(zone))
        self._clock = MovedClock(self._at(-9 * HOUR_S))
        throws = dice(seed, self._place.name, "paper")
        settings = sites.Settings(self._place.name, self._place.title, zone, demo=True)
        folder = make_site(home, settings, UUID(int=throws.getrandbits(128), version=4))
        FilePins(folder / sites.KEYS).put(self._crew.clinical_lead, _PIN)
        mint = seeded_mint(self._clock.now, throws.getrandbits(32))
        self._site = open_site(home, self._place.name, now=self._clock.now, mint=mint)
        self._person = standby_names(self._place, DAYS[-1], seed, 1)[0]
        doing = self._doing(self._crew.coordinator)
        second = second_person(self._site, doing.by, self._crew.clinical_lead, _PIN)
        adopt_shipped(self._site, folder, replace(doing, second=second), "example-10-v2")

    def typed_in(self) -> OnPaper:
        """Return what came of the paper in the evening."""
        syringe = self._drawn()
        self._clock.move(self._at(_TYPED_S))
        code, by = self._person.code, self._crew.registrars[0]
        self._keep_name()
        card = EarlierDoseTold(person=code, given_on=FIRST.isoformat(), lot="ZZ-0907")
        doses.told(self._site, self._doing(by), card)
        given = exactly(self._at(_GIVEN_S))
        needle = Needle(
            person=code,
            syringe=syringe,
            screened_by=self._crew.screeners[0],
            screening="give-15",
            arm="left",
        )
        outcome = doses.give(self._site, replace(self._doing(by), occurred=given), needle)
        if "too-early" not in {each.code for each in outcome.findings}:
            raise NotAsPlannedError(f"the early dose was not found: {outcome.findings}")
        return OnPaper(
            home=self._home,
            site=self._site,
            person=self._person,
            first=FIRST,
            given_at=given.hi,
            typed_at=self._clock.now(),
            findings=outcome.findings,
            draft=self._draft(),
        )

    def _draft(self) -> tuple[str, ...]:
        with self._site.ledger.view() as view:
            rules = in_force(self._site, view, self._at(_GIVEN_S))
        slip = calculators.Slip("too-early", DAY, FIRST)
        found = calculators.after_error(slip, rules.protocol)
        return report_draft(found, DAY, f"{rules.ref.id} version {rules.ref.version}")

    def _keep_name(self) -> None:
        person = self._person
        name = Name(
            person.called.whole,
            person.born.isoformat(),
            person.phone,
            person.mail,
            person.language,
        )
        self._site.people.put(person.code, name)

    def _drawn(self) -> str:
        """Return the syringe that was drawn, from a vial that went the usual way."""
        cartons = lots.in_freezer(self._place)[0]
        label = Label(cartons.lot, cartons.expiry)
        arrived = Arrival(_VIALS, _VIALS, _ON_ARRIVAL_C)
        by = self._crew.coordinator
        receive_frozen(self._site, self._doing(by), label, FREEZER, arrived)
        self._clock.move(self._at(5 * HOUR_S))
        out = vials.take_out(self._site, self._doing(by), label.lot, FREEZER, 1, "fridge").event
        assert isinstance(out, VialMoved)  # noqa: S101  what `take_out` records
        self._clock.move(self._at(8 * HOUR_S))
        vials.move(self._site, self._doing(by), out.vials, "table")
        self._clock.move(self._at(9 * HOUR_S))
        able = [self._crew.clinical_lead]
        observing.look_at_kit(self._site, self._doing(by), _KIT, able)
        preparer = self._crew.preparers[0]
        vials.open_vial(self._site, self._doing(preparer), out.vials[0])
        self._clock.move(self._at(_GIVEN_S - 10 * MINUTE_S))
        drawn = vials.draw(self._site, self._doing(preparer), out.vials[0], 1).event
        assert isinstance(drawn, DoseDrawn)  # noqa: S101  what `draw` records
        return drawn.syringes[0]

    def _at(self, at_s: int) -> Instant:
        return Instant(self._midnight + timedelta(seconds=at_s))

    def _doing(self, by: str) -> Doing:
        now = self._clock.now()
        return Doing(by=by, occurred=exactly(now), recorded_at=now, id=self._site.mint())
