"""Harrowmint and Quillbeck on disk, with a clock that the story moves."""

from uuid import uuid4

from tests.cast import BRYONY, HAZEL, PINS, ROWAN, at, with_second

from thawline.adapters.kept_rules import KeptRules
from thawline.adapters.pins import FilePins
from thawline.adapters.rule_files import load
from thawline.adapters.sites import KEYS, PROTOCOLS, Settings
from thawline.adapters.wiring import make_site, open_site
from thawline.app.acts import Doing
from thawline.app.adoption import adopt
from thawline.app.doses import give, question
from thawline.app.in_force import in_force
from thawline.app.in_hand import Needle
from thawline.app.receiving import Label, receive_frozen
from thawline.app.standings import all_stood, stood
from thawline.app.vials import draw, move, open_vial, take_out
from thawline.base.instants import exactly
from thawline.receive.inspection import Arrival

LOT, EXPIRY, FREEZER = "ZZ-1041", "2026-08", "freezer-1"


class Hall:
    """One site on disk; every act is done at the wall-clock time that is given."""

    def __init__(self, home, name="harrowmint", rules=None):
        self.home, self.name, self._now = home, name, at("00:00")
        folder = make_site(home, Settings(name, name.title(), "America/Chicago"), uuid4())
        FilePins(folder / KEYS).put(BRYONY, PINS[BRYONY])
        self.site = self.reopened()
        self.adopt("00:00", rules or load("example-10-v2"))

    def reopened(self):
        """Return the same site as a new process would find it on disk."""
        return open_site(self.home, self.name, now=lambda: self._now)

    def doing(self, clock, by=HAZEL, **more) -> Doing:
        """Return who does it at that time of the Tuesday."""
        self._now = max(self._now, at(clock))
        return Doing(by, exactly(at(clock)), self._now, self.site.mint(), **more)

    def adopt(self, clock, file):
        """Take a version into use, two people there."""
        folder = self.home / "sites" / self.name
        KeptRules(folder / PROTOCOLS).keep(file)
        return adopt(self.site, with_second(self.doing(clock, ROWAN)), file)

    def receive(self, clock, vials, **seen_more):
        """Receive frozen vials in order, or with what was seen."""
        label, seen = Label(LOT, EXPIRY), Arrival(vials, vials, **seen_more)
        return receive_frozen(self.site, self.doing(clock, ROWAN), label, FREEZER, seen)

    def thaw(self, clock, vials) -> tuple[str, ...]:
        """Take vials to the refrigerator; return their codes."""
        doing = self.doing(clock, ROWAN)
        return take_out(self.site, doing, LOT, FREEZER, vials, "fridge").event.vials

    def to_table(self, clock, codes, **more):
        """Bring vials to the table."""
        return move(self.site, self.doing(clock, ROWAN, **more), codes, "table")

    def open(self, clock, vial, **more):
        """Open a vial."""
        return open_vial(self.site, self.doing(clock, **more), vial)

    def draw(self, clock, vial, doses, station):
        """Draw doses at a table; return the syringes."""
        doing = self.doing(clock, station=station)
        return draw(self.site, doing, vial, doses).event.syringes

    def may_give(self, clock, syringe, person):
        """Return the codes of what forbids the dose before the needle."""
        needle = Needle(person, syringe=syringe, screening="give-15", screened_by="Sorrel")
        found = question(self.site, needle, "", at(clock))
        return set() if found.may else {each.code for each in found.findings}

    def give(self, clock, syringe, person):
        """Record a dose that was given."""
        needle = Needle(person, syringe=syringe, screening="give-15", screened_by="Sorrel")
        return give(self.site, self.doing(clock), needle)

    def standing(self, clock, vial):
        """Return a vial and what the rules make of it."""
        with self.site.ledger.view() as view:
            return stood(view, in_force(self.site, view, at(clock)), vial, at(clock))

    def all_standing(self, clock, site=None):
        """Return every vial, by code."""
        place = site or self.site
        with place.ledger.view() as view:
            rules = in_force(place, view, at(clock))
            return {each.code: each for each in all_stood(view, rules, at(clock))}
