"""Whose codes a site's record knows: booked, dosed, on the standby list or seen at the desk."""

from typing import Any

from thawline.ledger.entries import Fold, View
from thawline.person.desk import DESK
from thawline.person.fold import PERSON
from thawline.person.standby import STANDBY

_CODED: tuple[Fold[Any], ...] = (PERSON, STANDBY, DESK)


def is_on_record(view: View, person: str) -> bool:
    """Say whether a code stands for somebody here, whether or not a name is kept under it."""
    return any(view.one(fold, person) is not None for fold in _CODED)


def codes_on_record(view: View) -> frozenset[str]:
    """Return every code that stands for somebody here."""
    return frozenset(person for fold in _CODED for person, _ in view.all(fold))
