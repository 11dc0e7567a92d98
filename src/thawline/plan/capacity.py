"""
How many second doses a site can give a day, as its settings say it.

Nobody guesses a capacity: a day that the settings do not cover has an error, not a number.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from thawline.base.errors import RecordError


@dataclass(frozen=True, slots=True)
class SecondPlaces:
    """Places a day, for both doses together; `on` says otherwise for single days, 0 closed."""

    a_day: int | None = None
    on: Mapping[date, int] = field(default_factory=dict)


def places_on(known: SecondPlaces | None, day: date, site: str) -> int:
    """
    Return the places of a day.

    Raises:
        RecordError: The site's settings do not say.
    """
    places = None if known is None else known.on.get(day, known.a_day)
    if places is None:
        raise RecordError(
            f"how many places {site} has on {day.isoformat()} is not known",
            advice="write [second_doses] a_day = 300 in its site.toml, "
            f"or --places {day.isoformat()}=300",
        )
    return places
