"""
What is kept of who somebody is, where it is just being put right.

The new values wait beside the old ones until the record says that they count. So whoever
reads in between, or after the power failed in between, reads what the record stands for.
"""

from collections.abc import Mapping
from dataclasses import replace
from uuid import UUID

from thawline.app.booking_rows import identity_of
from thawline.app.ports import Amending, Name, Site
from thawline.base.errors import RecordError
from thawline.ledger.entries import View
from thawline.ledger.person_events import PersonAmended
from thawline.person.desk import BORN, NAME, PHONE
from thawline.person.likeness import Identity


def kept_of(site: Site, view: View, person: str) -> Name | None:
    """Return what is kept of a person by this view of the record; None where nothing is."""
    name = site.people.get(person)
    return None if name is None else settled(view, person, name)


def settled(view: View, person: str, name: Name) -> Name:
    """Return the name with what acts on record put right; what is not recorded still waits."""
    for each in name.amending:
        entry = view.entry(UUID(each.act))
        event = None if entry is None else entry.event
        if isinstance(event, PersonAmended) and event.person == person:
            name = amended(name, each.act)
    return name


def amended(name: Name, act: str) -> Name:
    """Return the name with the values of an act that wait beside it; as it is without any."""
    values = {
        key: each for w in name.amending if w.act == act for key, each in w.values.items()
    }
    return replace(
        name,
        called=values.get(NAME, name.called),
        born=values.get(BORN, name.born),
        phone=values.get(PHONE, name.phone),
        amending=tuple(each for each in name.amending if each.act != act),
    )


def values_of(name: Name) -> Mapping[str, str]:
    """Return what identifies somebody, by the words of the record."""
    return {NAME: name.called, BORN: name.born or "", PHONE: name.phone}


def waiting(name: Name, act: str, values: Mapping[str, str]) -> Name:
    """Return the name with new values of an act beside it."""
    others = (each for each in name.amending if each.act != act)
    return replace(name, amending=(*others, Amending(act, dict(values))))


def refuse_changed(site: Site, view: View, person: str, compared: Identity) -> None:
    """Raise RecordError where what is kept is no longer what somebody was compared with."""
    name = kept_of(site, view, person)
    if compared != (Identity("") if name is None else identity_of(name)):
        raise RecordError(
            f"what is kept of {person} was put right just now; nothing is recorded",
            advice="compare them again",
        )
