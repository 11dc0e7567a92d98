"""Everybody whose second dose is due at a site on a day."""

from datetime import date
from functools import cache

from thawline.app.elsewhere import days_elsewhere
from thawline.app.in_force import rules_by_time
from thawline.app.ports import Site
from thawline.base.instants import local_date
from thawline.person.fold import PERSON
from thawline.rebook.due import DueList, second_due


def due_on(site: Site, on: date | None = None) -> tuple[date, DueList]:
    """Return the local date asked about, today if None, and everybody who is due on it."""
    day = on or local_date(site.now(), site.zone)
    with site.ledger.view() as view:
        rule_on, elsewhere = cache(rules_by_time(site, view)), days_elsewhere(view, day)
        return day, second_due(view.all(PERSON), day, rule_on, elsewhere)
