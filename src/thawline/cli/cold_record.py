"""`thawline cold call` and `cold record`: who was called, and the record of an excursion."""

from thawline.app.excursion_record import excursion_record
from thawline.app.excursions import call as record_call
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.cold_record_page import record_answer
from thawline.cli.options import Acting

NOBODY = Acting()


def call(
    unit: str, *, called: str, answer: str = "", case: str = "", acting: Acting = NOBODY
) -> Answer:
    """
    Record who was called about a unit's excursion, what they said, and their case number.

    thawline cold call fridge-1 --called "Health Unit" --answer "keep, we call back" \
--case UV-17 --by Rowan
    thawline cold call fridge-1 --called "the maker" --at 07:20 --by "Rowan Thistle"

    An answer clears nothing: thawline vial release, by two people.

    Parameters
    ----------
    unit
        The unit or table, as thawline site show names it.
    called
        Who was called.
    answer
        What they said; left out while they have not answered.
    case
        Their case number.
    """
    site = site_named(acting.site)
    outcome = record_call(site, doing(site, acting), unit, called, answer, case)
    said = f"said: {answer}" if answer else "has not answered"
    return recorded(outcome, site, f"{called} called about {unit}; {said}")


def record(
    unit: str,
    *,
    since: str | None = None,
    until: str | None = None,
    site: str | None = None,
) -> Answer:
    """
    Print the record of an excursion: everything that is asked for, and what is missing.

    thawline cold record fridge-1 --site harrowmint
    thawline cold record UV-17 > uv-17.txt

    Parameters
    ----------
    unit
        The unit, or a case number.
    since
        From when; the time of the last hold, else the first reading, if left out.
    until
        Until when.
    site
        The site's name; not needed where there is only one.
    """
    place = site_named(site)
    now = place.now()
    began = None if since is None else moment(since, now, place.zone)
    ended = None if until is None else moment(until, now, place.zone)
    return record_answer(place, excursion_record(place, unit, began, ended, now), now)
