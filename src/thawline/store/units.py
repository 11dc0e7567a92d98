"""The places where vials are kept, and how anybody knows their temperature."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


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
    """

    name: str
    band: str
    followed: Followed
    accuracy_c: Decimal | None = None
    title: str = ""
