"""
Who may be the same person: shown to people, decided by a code or by name, birth date and phone.

Two people may share a name and a birth date. They are never merged by those alone; somebody
looks at them. A birth date with day and month swapped is shown as a possible double too, and
so is a name that is spelled otherwise, beside the same birth date.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from thawline.person.names import bare_words, names_alike


@dataclass(frozen=True, slots=True)
class Identity:
    """What a list says about who somebody is; `born` None and phone "" when it does not say."""

    name: str
    born: date | None = None
    phone: str = ""


class Likeness(StrEnum):
    """How two identities are alike."""

    SAME = "same"  # name, birth date and phone are all there and equal
    AS_TOLD = "same in everything told"  # too little is told to be sure
    NAME_AND_BIRTH = "same name and birth date"
    SWAPPED = "same name, day and month of the birth date swapped"
    NAME_AND_PHONE = "same name and phone, a birth date missing"
    SPELLED = "a name spelled otherwise, same birth date or phone"


@dataclass(frozen=True, slots=True)
class Alike:
    """Somebody who may be the same person."""

    person: str
    likeness: Likeness


class Register:
    """Everybody whose name is known here, by name; grows as rows of a file are taken in."""

    def __init__(self) -> None:
        self._by_name: dict[str, dict[str, Identity]] = defaultdict(dict)
        self._by_birth: dict[date, dict[str, Identity]] = defaultdict(dict)

    def add(self, person: str, identity: Identity) -> None:
        """Keep who a person is; one without a name is not alike anybody."""
        if key := name_key(identity.name):
            self._by_name[key][person] = identity
            if identity.born is not None:
                self._by_birth[identity.born][person] = identity

    def alike(self, identity: Identity) -> Iterator[Alike]:
        """
        Yield everybody who may be this person, in the order they were added.

        Those of the same name first, then those of the same birth date.
        """
        known = self._by_name.get(name_key(identity.name), {})
        if identity.born is not None:
            known = known | self._by_birth.get(identity.born, {})
        for person, other in known.items():
            likeness = likeness_of(identity, other)
            if likeness is not None:
                yield Alike(person, likeness)


def likeness_of(one: Identity, other: Identity) -> Likeness | None:
    """Return how two identities are alike; None when they are different people."""
    if name_key(one.name) != name_key(other.name):
        return _spelled(one, other)
    if one.born == other.born and phone_key(one.phone) == phone_key(other.phone):
        return Likeness.SAME if one.born and phone_key(one.phone) else Likeness.AS_TOLD
    if one.born is None or other.born is None:
        return Likeness.NAME_AND_PHONE if _same_phone(one, other) else None
    if one.born == other.born:
        return Likeness.NAME_AND_BIRTH
    return Likeness.SWAPPED if swapped(one.born) == other.born else None


def _spelled(one: Identity, other: Identity) -> Likeness | None:
    """Return the likeness of names that are not the same letters; birth dates are cheaper."""
    told = one.born is not None and other.born is not None
    same = one.born == other.born if told else _same_phone(one, other)
    return Likeness.SPELLED if same and names_alike(one.name, other.name) else None


def _same_phone(one: Identity, other: Identity) -> bool:
    return bool(phone_key(one.phone)) and phone_key(one.phone) == phone_key(other.phone)


def may_be(said: Identity, kept: Identity) -> bool:
    """Say whether both have one name, or are alike under names that are spelled otherwise."""
    key = name_key(said.name)
    same = bool(key) and key == name_key(kept.name)
    return same or _spelled(said, kept) is not None


def name_key(name: str) -> str:
    """Return a name for comparing: no accents, capitals or order ("Rainmoor, Hazel")."""
    return " ".join(sorted(bare_words(name)))


def phone_key(phone: str) -> str:
    """Return a phone number for comparing: its digits."""
    return re.sub(r"\D", "", phone, flags=re.ASCII)


def swapped(day: date) -> date | None:
    """Return the date with day and month swapped; None where there is no such date."""
    try:
        return day.replace(month=day.day, day=day.month)
    except ValueError:
        return None
