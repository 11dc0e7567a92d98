"""What every page stands in: the site, the moment, who looks, and the vials as they stand."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cached_property, partial
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from thawline.adapters.wiring import FOLDS
from thawline.app.in_force import InForce, in_force
from thawline.app.ports import Site
from thawline.app.standings import Stood, all_stood
from thawline.app.until import Until, until
from thawline.base.instants import Instant, local_date
from thawline.ledger.entries import View
from thawline.vial.folds import CARTON
from thawline.web.here import here
from thawline.web.kept import kept, not_done
from thawline.web.who import Who, who


@dataclass
class Around:
    """The site at one moment, for one person; `view` sees nothing written later."""

    site: Site
    view: View
    at: Instant
    who: Who

    @property
    def zone(self) -> ZoneInfo:
        """Return the site's time zone."""
        return self.site.zone

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
        """Return every vial with a code, as it stands."""

        def ask() -> tuple[Stood, ...]:
            stand = partial(all_stood, self.view, self.rules, self.at)
            return not_done(self.rules.versions, stand)

        return ask() if isinstance(self.view, Until) else kept(self.view.head, self.at, ask)

    @cached_property
    def lots(self) -> tuple[str, ...]:
        """Return the lots of every vial with a code and every sealed carton, as printed."""
        sealed = (state.lot for _, state in self.view.all(CARTON))
        return tuple(sorted({*(each.vial.lot for each in self.stands), *sealed}))


@contextmanager
def around(request: HttpRequest) -> Iterator[Around]:
    """Give the site at this moment."""
    site = here()
    at = site.now()
    with site.ledger.view() as view:
        yield Around(site, until(view, at, FOLDS), at, who(request))
