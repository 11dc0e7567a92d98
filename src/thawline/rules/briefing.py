"""
Who works by which rule, and so who must be briefed again when it changes.

Common practice: the roles are those whose hands or words the rule goes through. The trainer
teaches every rule and is briefed on every change.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from thawline.base.roles import Role

_CARE = (Role.VACCINE_COORDINATOR, Role.RUNNER, Role.PREPARER)
_TABLE = (Role.PREPARER, Role.VACCINATOR)
_WORK_BY: dict[str, tuple[Role, ...]] = {
    "product": (*_TABLE, Role.VACCINE_COORDINATOR),
    "bands": _CARE,
    "clocks": (*_CARE, Role.VACCINATOR),
    "caps": (*_CARE, Role.VACCINATOR),
    "thaw": _CARE,
    "transport": (Role.VACCINE_COORDINATOR, Role.RUNNER, Role.SITE_LEAD),
    "punctures": _TABLE,
    "predrawn": (*_TABLE, Role.SITE_LEAD),
    "handling": (*_CARE, Role.SITE_LEAD),
    "overrides": (Role.SITE_LEAD, Role.CLINICAL_LEAD, *_TABLE, Role.VACCINE_COORDINATOR),
    "schedule": (Role.REGISTRAR, Role.SCREENER, Role.VACCINATOR, Role.DATA_STEWARD),
    "needles": (Role.VACCINATOR,),
    "technique": (Role.VACCINATOR,),
    "deviations": (Role.VACCINATOR, Role.OBSERVER, Role.CLINICAL_LEAD, Role.SITE_LEAD),
    "anaphylaxis": (Role.OBSERVER, Role.VACCINATOR, Role.SCREENER, Role.CLINICAL_LEAD),
    "observation": (Role.OBSERVER, Role.VACCINATOR, Role.SCREENER),
    "alarms": (Role.VACCINE_COORDINATOR, Role.SITE_LEAD),
    "reporting": (Role.VACCINE_COORDINATOR, Role.SITE_LEAD),
    "device_alarms": (Role.VACCINE_COORDINATOR,),
    "logging": (Role.VACCINE_COORDINATOR,),
    "kinetic": (Role.VACCINE_COORDINATOR,),
    "rounds": (Role.VACCINE_COORDINATOR, Role.PREPARER, Role.SITE_LEAD),
    "stations": (Role.SITE_LEAD,),
    "labels": (Role.PREPARER,),
    "lesson": (),
    "screening": (Role.SCREENER, Role.VACCINATOR, Role.CLINICAL_LEAD),
}


@dataclass(frozen=True, slots=True)
class Briefing:
    """What one role must hear again: the item codes, in the order of the file."""

    role: Role
    items: tuple[str, ...]


def roles_for(key: str) -> frozenset[Role]:
    """Return the roles that work by the figure or text under a dotted key."""
    return frozenset({*_WORK_BY[key.partition(".")[0]], Role.TRAINER})


def briefings(changed: Iterable[tuple[str, str]]) -> tuple[Briefing, ...]:
    """
    Return what each role must hear again, roles in their usual order.

    Args:
        changed: The dotted key and the item code of each change.
    """
    by_role: dict[Role, dict[str, None]] = {role: {} for role in Role}
    for key, item in changed:
        for role in roles_for(key):
            by_role[role][item] = None
    return tuple(Briefing(role, tuple(items)) for role, items in by_role.items() if items)
