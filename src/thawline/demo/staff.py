"""The 78 people who work in the district, all invented, by site and role."""

from dataclasses import dataclass

from thawline.base.roles import Role
from thawline.demo.names import name_of

UNIT = "unit"
"""Where those work who belong to no single site."""

_NUMBERED_FROM = 15_000  # beyond every person who is vaccinated
_OF_A_SITE = (
    Role.SITE_LEAD,
    Role.VACCINE_COORDINATOR,
    Role.REGISTRAR,
    Role.SCREENER,
    Role.PREPARER,
    Role.VACCINATOR,
    Role.OBSERVER,
    Role.RUNNER,
)
_COUNTS: dict[str, dict[Role, int]] = {
    UNIT: {
        Role.CLINICAL_LEAD: 1,
        Role.TRAINER: 1,
        Role.DATA_STEWARD: 1,
        Role.TECHNICAL_ADMIN: 1,
        Role.HEALTH_UNIT: 2,
    },
    "harrowmint": dict(zip(_OF_A_SITE, (1, 1, 3, 4, 4, 10, 2, 2), strict=True)),
    "quillbeck": dict(zip(_OF_A_SITE, (1, 1, 2, 3, 3, 7, 2, 1), strict=True)),
    "tansy-ferry": dict(zip(_OF_A_SITE, (1, 1, 2, 2, 2, 5, 2, 1), strict=True)),
    "oddmoor": dict(zip(_OF_A_SITE, (1, 1, 1, 1, 1, 2, 1, 1), strict=True)),
}


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody who works in the district; `place` is a site's name, or the unit."""

    called: str
    role: Role
    place: str


def staff(seed: int) -> tuple[Member, ...]:
    """Return everybody who works in the district."""
    posts = [
        (place, role)
        for place, counts in _COUNTS.items()
        for role, count in counts.items()
        for _ in range(count)
    ]
    return tuple(
        Member(name_of(_NUMBERED_FROM + n, seed).whole, role, place)
        for n, (place, role) in enumerate(posts)
    )


def at_work(seed: int, place: str, role: Role) -> tuple[str, ...]:
    """Return the names of those in a role at a site, or at the unit."""
    return tuple(m.called for m in staff(seed) if (m.place, m.role) == (place, role))
