"""
Which values a fact may have, beyond being a word or a number.

Asked before a dose is recorded and before an entry is corrected, so that a correction cannot
write what a record could not.
"""

from collections.abc import Iterable

from msgspec.structs import asdict

from thawline.base.errors import RecordError
from thawline.ledger.events import Event
from thawline.ledger.known_words import unfit_word
from thawline.ledger.person_events import SecondDosesPassedOn, SecondDosesTakenOver
from thawline.ledger.second_dose_events import SecondDosesAssigned, SecondDosesMoved

DOSE_NUMBERS = (1, 2)
ARMS = ("left", "right")
_CHOICES: dict[str, tuple[str | int | None, ...]] = {
    "dose_number": DOSE_NUMBERS,
    "arm": (*ARMS, None),
}
_LEAST = {
    "volume_ul": 1,
    "doses_per_vial": 1,
    **dict.fromkeys(("doses", "vials", "extra", "listed_vials"), 0),
    **dict.fromkeys(("room_used_min", "transport_used_min", "trips_used"), 0),
}


def refuse_unfit(event: Event, names: Iterable[str]) -> None:
    """
    Look at these fields of an event.

    Raises:
        RecordError: One has a value that no such fact can have; says which there are.
    """
    if isinstance(event, _OF_MANY):
        _refuse_uneven(event)
    for name in names:
        value = getattr(event, name)
        if name in _CHOICES and value not in _CHOICES[name]:
            known = ", ".join("-" if each is None else str(each) for each in _CHOICES[name])
            raise RecordError(f"{name} cannot be {value!r}", advice=f"one of {known}")
        if unfit := unfit_word(event, name):
            raise RecordError(f"{name} cannot be {unfit[0]!r}", advice=unfit[1])
        if name in _LEAST and isinstance(value, int) and value < _LEAST[name]:
            raise RecordError(f"{name} cannot be {value}", advice=f"{_LEAST[name]} or more")


_OF_MANY = (SecondDosesAssigned, SecondDosesMoved, SecondDosesPassedOn, SecondDosesTakenOver)


def _refuse_uneven(
    event: SecondDosesAssigned | SecondDosesMoved | SecondDosesPassedOn | SecondDosesTakenOver,
) -> None:
    """Refuse places that are not one for each person, each person once, in order."""
    lists = [values for values in asdict(event).values() if isinstance(values, tuple)]
    if any(len(values) != len(event.people) for values in lists):
        raise RecordError(
            f"{len(event.people)} people, and not one time for each",
            advice="undo the entry, and book these people anew",
        )
    if list(event.people) != sorted(set(event.people)):
        raise RecordError(
            "people stand twice, or out of order", advice="name each once, by code"
        )
