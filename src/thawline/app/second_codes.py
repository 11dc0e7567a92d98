"""
Under which code somebody who moves to another site is known there: one code, one person.

A code goes along where it stands for nobody else there, or for the same person: the same name
and birth date are kept. Who came from there before keeps the code they got. Otherwise they get
a new one, that no record and no kept name knows.
"""

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass

from thawline.app.booking_rows import MINTED, minted_number
from thawline.app.on_record import codes_on_record, is_on_record
from thawline.app.ports import Name, Site
from thawline.base.errors import RecordError
from thawline.ledger.entries import View
from thawline.person.away import AWAY
from thawline.person.likeness import name_key


@dataclass(frozen=True, slots=True)
class CodeThere:
    """
    A person's code at home and at the other site, and the name kept at home.

    `is_known`: the code is theirs at the other site already; no name is kept anew.
    """

    person: str
    there: str
    name: Name | None
    is_known: bool


def codes_there(home: Site, site: Site, people: Iterable[str]) -> tuple[CodeThere, ...]:
    """Return codes at the other site: the same where it stands for nobody else, else new."""
    names = {person: home.people.get(person) for person in people}
    with site.ledger.view() as there:
        known = codes_on_record(there)
        came = _came_before(there, home.name)
    free = {each for each, name in names.items() if _is_free(site, each, name, known)}
    codes = {each: each for each in free} | {p: came[p] for p in names if p in came}
    last = max(map(minted_number, {*known, *codes.values()}), default=0)
    for person, name in names.items():
        if person not in codes:
            codes[person] = _unkept_after(site, last, name)
            last = minted_number(codes[person])
    return tuple(
        CodeThere(p, codes[p], name, p in came or site.people.get(codes[p]) is not None)
        for p, name in names.items()
    )


def _came_before(view: View, home: str) -> dict[str, str]:
    """Return by their code at home the codes that people of that site have here."""
    return {
        each.code: person
        for person, state in view.all(AWAY)
        for each in state.came_from
        if each.site == home
    }


def _is_free(site: Site, person: str, name: Name | None, known: Set[str]) -> bool:
    """Say whether a code stands for nobody else at the other site: nobody, or the same one."""
    kept = site.people.get(person)
    return person not in known if kept is None else _is_same(kept, name)


def _is_same(kept: Name, name: Name | None) -> bool:
    """Say whether two kept names are one person's; without a birth date nobody knows."""
    if name is None or name.born is None or kept.born != name.born:
        return False
    return name_key(kept.called) == name_key(name.called)


def _unkept_after(site: Site, last: int, name: Name | None) -> str:
    """
    Return the next code that is kept for nobody else.

    The record may not know of it: a booking was undone, or somebody was cut off. Where that
    was the same person's, it is theirs again.
    """
    number = last + 1
    while kept := site.people.get(_minted(number)):
        if _is_same(kept, name):
            break
        number += 1
    return _minted(number)


def _minted(number: int) -> str:
    return f"{MINTED}{number:06d}"


def kept_there(site: Site, people: Iterable[CodeThere]) -> Mapping[str, str]:
    """
    Keep the names of those who are new there; return everybody's code by the one at home.

    Raises:
        RecordError: Another desk took the code that somebody brings along just now.
    """
    found = {each.person: each.there for each in people}
    for each in people:
        if each.is_known or each.name is None:
            continue
        while site.people.add_all({found[each.person]: each.name}):
            if each.there == each.person:
                raise _overtaken(site, each.there)
            last = max(map(minted_number, found.values()))
            found[each.person] = _unkept_after(site, last, None)
    return found


def refuse_taken(site: Site, view: View, people: Iterable[CodeThere]) -> None:
    """Raise RecordError for a code that came to stand for somebody since it was looked up."""
    for each in people:
        if not each.is_known and is_on_record(view, each.there):
            raise _overtaken(site, each.there)


def _overtaken(site: Site, code: str) -> RecordError:
    return RecordError(
        f"{code} stands for somebody else at {site.name} since just now",
        advice="ask again: thawline second between",
    )
