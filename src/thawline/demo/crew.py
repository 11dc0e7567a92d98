"""Who works where at a site on the day: names by post and shift."""

from dataclasses import dataclass

from thawline.base.roles import Role
from thawline.demo.arrivals import HOUR_S, MINUTE_S
from thawline.demo.staff import UNIT, at_work

HANDOVER_S = 15 * HOUR_S + 30 * MINUTE_S
_MOVES_TO = {7: 3}  # who worked at chair 3 goes on at chair 7
_RELIEVED = (1, 2, 4, 5)  # chairs that somebody else takes over in the afternoon
_CHAIRS = 6


@dataclass(frozen=True, slots=True)
class Crew:
    """The people on duty, the first of each role in charge of it."""

    lead: str
    coordinator: str
    clinical_lead: str
    registrars: tuple[str, ...]
    screeners: tuple[str, ...]
    preparers: tuple[str, ...]
    vaccinators: tuple[str, ...]
    observers: tuple[str, ...]

    def at_chair(self, chair: int, at_s: int) -> str:
        """Return who vaccinates at a chair at that time."""
        post = _MOVES_TO.get(chair, chair)
        relieved = post in _RELIEVED and len(self.vaccinators) > _CHAIRS
        if relieved and at_s >= HANDOVER_S:
            return self.vaccinators[_CHAIRS + _RELIEVED.index(post)]
        return self.vaccinators[post - 1]

    def at_table(self, table: int) -> str:
        """Return who draws at a table."""
        return self.preparers[table - 1]

    @property
    def second_at_table_2(self) -> str:
        """Return who opens a vial beside the other preparer after lunch."""
        return self.preparers[-1]

    def asking(self, number: int) -> str:
        """Return who asked the screening questions of the n-th person."""
        return self.screeners[number % len(self.screeners)]


def crew_of(place: str, seed: int) -> Crew:
    """Return who is on duty at a site."""

    def named(role: Role, where: str = place) -> tuple[str, ...]:
        return at_work(seed, where, role)

    return Crew(
        lead=named(Role.SITE_LEAD)[0],
        coordinator=named(Role.VACCINE_COORDINATOR)[0],
        clinical_lead=named(Role.CLINICAL_LEAD, UNIT)[0],
        registrars=named(Role.REGISTRAR),
        screeners=named(Role.SCREENER),
        preparers=named(Role.PREPARER),
        vaccinators=named(Role.VACCINATOR),
        observers=named(Role.OBSERVER),
    )
