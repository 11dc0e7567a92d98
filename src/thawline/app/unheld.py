"""
Excursions of a unit of which something that was inside is still here and held by nobody.

Any reading outside the band is an excursion, so this does not wait for a call to be due. What
was held for an excursion, and released since by two people, is not asked for again.
"""

import shlex
from collections import Counter
from dataclasses import dataclass
from datetime import timedelta

from thawline.app.acts import Doing
from thawline.app.cold import CAUTION
from thawline.app.excursions import exposure_of_unit, hold_exposed, warm_unit
from thawline.app.exposed import Affected
from thawline.app.holds import Out
from thawline.app.ports import Site
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, exactly, from_ms, written
from thawline.rules.cold import Side
from thawline.store.inside import Thing

_SHORT = timedelta(days=1)  # within it a time of day says which day it was


@dataclass(frozen=True, slots=True)
class Unheld:
    """
    An excursion with something inside that is here and not held.

    Args:
        unit: Its name.
        since: The first reading out.
        until: The first time it was known to be in again; None: not yet.
        above: It was too warm.
        codes: Vials and syringes that are not held, and lots of sealed vials.
        finding: What is not held, and the caution.
    """

    unit: str
    since: Instant
    until: Instant | None
    above: bool
    codes: frozenset[str]
    finding: Finding

    @property
    def why(self) -> str:
        """Return the reason that a hold gives."""
        return f"{self.unit} was {'above' if self.above else 'below'} its band"

    def command(self, site: Site, by: str) -> str:
        """Return the command that records the hold, to be copied into a terminal."""
        words = ["thawline", "cold", "exposure", self.unit]
        words += ["--since", written(self.since, site.zone)]
        if self.until is not None:
            words += ["--until", written(self.until, site.zone)]
        words += ["--hold", "--why", self.why, "--by", by, "--site", site.name]
        return shlex.join(words)


def unheld(site: Site, unit: str, since: Instant | None) -> list[Unheld]:
    """Return the excursions since an instant, or all, with what nobody holds for them."""
    now = site.now()
    found = exposure_of_unit(site, unit, since, now, now)
    item = found.unit.band.item
    return [
        _unheld(site, unit, each, now, item)
        for each in found.excursions
        if any(thing.needs_hold for thing in each.things)
    ]


def hold_unheld(site: Site, by: str, each: Unheld) -> tuple[tuple[Finding, ...], list[Out]]:
    """
    Hold what was inside and start the clocks of a warm freezer, as `cold exposure --hold` does.

    Returns what is to be known of it, and the drawn syringes that the hold must reach.
    """
    now = site.now()
    doing = Doing(by, exactly(now), now, site.mint(), why=each.why)
    warmed = warm_unit(site, doing, each.unit, each.since, each.until)
    outcome, out = hold_exposed(site, doing, each.unit, each.since, each.until)
    return (*outcome.findings, *(says for one in warmed for says in one.findings)), out


def _unheld(site: Site, unit: str, each: Affected, now: Instant, item: str | None) -> Unheld:
    inside = [thing.inside for thing in each.things if thing.needs_hold]
    since, again = from_ms(each.out.first_out_ms), each.out.in_again_ms
    sealed = sum(thing.vials for thing in inside if thing.thing is Thing.CARTON)
    counts = Counter(thing.thing for thing in inside)
    kinds = (
        (counts[Thing.VIAL], "vial with a code", "vials with codes"),
        (sealed, "sealed vial", "sealed vials"),
        (counts[Thing.SYRINGE], "syringe", "syringes"),
    )
    parts = ", ".join(f"{n} {one if n == 1 else many}" for n, one, many in kinds if n)
    says = (
        f"not held by the record: {parts} that may have been in "
        f"{unit} when it was out from {_at(site, since, now)}. They are {CAUTION}"
    )
    return Unheld(
        unit=unit,
        since=since,
        until=None if again is None else from_ms(again),
        above=each.out.side is Side.ABOVE,
        codes=frozenset(thing.code for thing in inside),
        finding=Finding(Level.STOP, "not-held", says, item),
    )


def _at(site: Site, since: Instant, now: Instant) -> str:
    """Return when it was, with its date where that was not within the last day."""
    day, clock = written(since, site.zone)[: len("2026-02-03T00:30")].split("T")
    return clock if now - since < _SHORT else f"{day} {clock}"
