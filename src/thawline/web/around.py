"""What every page stands in: the site, the moment, who looks, and the vials as they stand."""

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from thawline.adapters.wiring import FOLDS
from thawline.app.alerts_now import alerts_now
from thawline.app.doses import Unrecorded, unrecorded_in
from thawline.app.drawn import Lying, lying
from thawline.app.holds_standing import StandingHold, standing_holds
from thawline.app.in_force import InForce, in_force
from thawline.app.left_over import Reckonings
from thawline.app.ports import Site
from thawline.app.standings import Stood
from thawline.app.until import Until, until
from thawline.base.findings import Finding
from thawline.base.instants import Instant, local_date
from thawline.ledger.entries import Head, View
from thawline.vial.folds import CARTON
from thawline.web.here import here
from thawline.web.kept import kept_a_second
from thawline.web.languages.catalogue import ENGLISH
from thawline.web.languages.chosen import language_of
from thawline.web.looking import NotedPeople
from thawline.web.settled import settled
from thawline.web.standing_vials import end_of_second, for_syringes, standing_vials
from thawline.web.who import Who, who

T = TypeVar("T")
_NAMES = "thawline.names"  # no header of a request can have this name


@dataclass
class Around:
    """
    The site at one moment, for one person; `view` sees nothing written later.

    `by_itself`: the page looks for news, and nobody touched anything. `language`: of the page.
    `screen`: its path, without what it is about.
    """

    site: Site
    view: View
    at: Instant
    who: Who
    by_itself: bool = False
    language: str = ENGLISH
    screen: str = ""

    @property
    def zone(self) -> ZoneInfo:
        """Return the site's time zone."""
        return self.site.zone

    @cached_property
    def settled(self) -> Head:
        """Return the head that sums go by, see `web.settled`."""
        asked = (self.site.ledger, self.view.head, self.at, self.screen)
        return settled(*asked, by_itself=self.by_itself)

    @cached_property
    def today(self) -> date:
        """Return the local date."""
        return local_date(self.at, self.zone)

    @cached_property
    def rules(self) -> InForce:
        """Return the rules in force; RuleError where none are adopted."""
        return in_force(self.site, self.view, self.at)

    @cached_property
    def stands(self) -> tuple[Stood, ...]:
        """Return every vial with a code, as it stands at the end of this second."""
        return standing_vials(self.site, self.view, self.rules, self.at)

    @property
    def reckonings(self) -> Reckonings:
        """Return the vials as they stand at the end of this second, for who adds them up."""
        then = end_of_second(self.at)
        return Reckonings(self.stands, for_syringes(self.site, self.view, self.rules, then))

    @cached_property
    def lying(self) -> tuple[Lying, ...]:
        """Return every drawn syringe, as it stands at the end of this second."""
        then = end_of_second(self.at)
        return self._at_head(
            "lying",
            lambda: lying(self.view, self.rules, then, self.reckonings.for_syringes),
            self.rules.ref,
        )

    @cached_property
    def alerts(self) -> tuple[Finding, ...]:
        """Return what somebody must answer, at the end of this second; raises as `rules`."""
        then = end_of_second(self.at)
        return self._at_head(
            "alerts",
            lambda: alerts_now(self.site, self.view, self.stands, then),
            self.rules.ref,
        )

    @cached_property
    def holds(self) -> tuple[StandingHold, ...]:
        """Return the holds that stand, the newest first."""
        return self._at_head("holds", lambda: standing_holds(self.view))

    @cached_property
    def unrecorded(self) -> tuple[Unrecorded, ...]:
        """Return the people with no dose recorded after a check, the longest waiting first."""
        return self._at_head("unrecorded", lambda: tuple(unrecorded_in(self.view)))

    def once_a_second(self, name: str, ask: Callable[[], T], *about: Hashable) -> T:
        """Return what a list shows, asked once a second for tablets that look by themselves."""
        return self._at(self.settled, name, ask, *about)

    def _at_head(self, name: str, ask: Callable[[], T], *about: Hashable) -> T:
        """Return what is asked once for a head and a second, however many tablets look."""
        return self._at(self.view.head, name, ask, *about)

    def _at(self, head: Head, name: str, ask: Callable[[], T], *about: Hashable) -> T:
        if isinstance(self.view, Until):
            return ask()
        return kept_a_second(name, (id(self.site.ledger), head, *about), self.at, ask)

    @cached_property
    def lots(self) -> tuple[str, ...]:
        """Return the lots of every vial with a code and every sealed carton, as printed."""
        sealed = (state.lot for _, state in self.view.all(CARTON))
        return tuple(sorted({*(each.vial.lot for each in self.stands), *sealed}))


@contextmanager
def around(request: HttpRequest) -> Iterator[Around]:
    """Give the site at this moment; whose name is asked for in it is noted as looked at."""
    site, looks = here(), who(request)
    at, screen = site.now(), request.path_info.split("/")[1]
    people = NotedPeople(site.people, looks, screen, at)
    with site.ledger.view() as view:
        yield Around(
            replace(site, people=people),
            until(view, at, FOLDS),
            at,
            looks,
            is_by_itself(request),
            language_of(request),
            screen,
        )
    people.write()
    if people.has_shown:
        request.META[_NAMES] = True


def is_by_itself(request: HttpRequest) -> bool:
    """Say whether a page looks for news, and shows what it has until there is some."""
    return "If-None-Match" in request.headers


def shows_names(request: HttpRequest) -> bool:
    """Say whether the page that was made shows who somebody is: no tablet keeps such a one."""
    return _NAMES in request.META
