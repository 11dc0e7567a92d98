"""The places where vials are kept, and how anybody knows their temperature."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum

from thawline.base.errors import NotFoundError, RecordError

FROZEN, REFRIGERATOR, ROOM = "frozen", "refrigerator", "room"
"""The bands that a protocol has for a freezer, a refrigerator and a table."""

USUAL = {FROZEN: "freezer-1", REFRIGERATOR: "fridge-1", ROOM: ""}
"""What a unit is called at a site that has named none of that band; a table is not named."""

CALLED = {FROZEN: "freezer", REFRIGERATOR: "refrigerator", ROOM: "table"}

_NAME = re.compile(r"[a-z][a-z0-9-]{0,39}", re.ASCII)


class Followed(StrEnum):
    """How the temperature of a unit comes to be known here."""

    LIVE = "live"  # a logger whose readings arrive while they are taken
    BY_HAND = "by-hand"  # somebody reads the display
    AT_DOWNLOAD = "at-download"  # a logger that is read when somebody fetches its file


FOLLOWED = {
    Followed.LIVE: "followed live",
    Followed.BY_HAND: "read by hand",
    Followed.AT_DOWNLOAD: "read at download",
}
"""As the screens and the printed pages say it."""


@dataclass(frozen=True, slots=True)
class StorageUnit:
    """
    A freezer, a refrigerator or a draw table of a site.

    Args:
        name: As entries name it, freezer-1.
        band: The protocol's band that it must keep: frozen, refrigerator or room.
        followed: How its temperature is known.
        accuracy_c: How far its logger may be off, where its certificate says; None: as the
            protocol says.
        title: As people say it.

    Raises:
        RecordError: A name, title or accuracy that no unit has.
    """

    name: str
    band: str
    followed: Followed
    accuracy_c: Decimal | None = None
    title: str = ""

    def __post_init__(self) -> None:
        if not _NAME.fullmatch(self.name):
            raise RecordError(
                f"not a name for a storage unit: {self.name!r}",
                advice="small letters, digits and hyphens, as in fridge-1",
            )
        if not self.title.isprintable():
            raise RecordError(f"not a title: {self.title!r}", advice="write it on one line")
        off = self.accuracy_c
        if off is not None and not (off.is_finite() and off >= 0):
            raise RecordError(
                f"unit {self.name}: not an accuracy: {off} °C",
                advice="how far it may be off either way, from its certificate, as in 0.5",
            )


def unit_named(units: Iterable[StorageUnit], name: str) -> StorageUnit:
    """
    Return the unit of that name.

    Raises:
        NotFoundError: The site has no such unit; names the nearest that it has.
    """
    by_name = {unit.name: unit for unit in units}
    if name in by_name:
        return by_name[name]
    near = get_close_matches(name, by_name, 1)
    advice = f"did you mean {near[0]}?" if near else f"thawline site unit {name} --band BAND"
    raise NotFoundError(f"no storage unit {name} here", advice=advice)


def only_unit(units: Iterable[StorageUnit], band: str) -> str:
    """
    Return the name of the site's one unit of a band; the usual name where it named none.

    Raises:
        RecordError: There are several, and somebody must say which.
    """
    names = [unit.name for unit in units if unit.band == band]
    if len(names) > 1:
        raise RecordError(
            f"which {CALLED.get(band, band)}: there are {len(names)} here",
            advice=f"add --unit, one of {', '.join(names)}",
        )
    return names[0] if names else USUAL.get(band, "")
