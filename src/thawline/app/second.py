"""Everybody whose second dose is due at a site on a day."""

from collections.abc import Callable
from datetime import date
from functools import cache

from thawline.app.in_hand import rule_on
from thawline.app.ports import Site
from thawline.base.instants import local_date
from thawline.ledger.entries import View
from thawline.person.fold import PERSON
from thawline.rebook import DueList, RuleOn, second_due
from thawline.rules.protocol import SecondDose


def due_on(site: Site, on: date | None = None) -> tuple[date, DueList]:
    """Return the local date asked about, today if None, and everybody who is due on it."""
    day = on or local_date(site.now(), site.zone)
    with site.ledger.view() as view:
        return day, second_due(view.all(PERSON), day, _rules(site, view))


def _rules(site: Site, view: View) -> RuleOn:
    """Return the site's rule by day, each day's looked up once."""
    lookup: Callable[[date], SecondDose] = cache(lambda day: rule_on(site, view, day))
    return lookup
