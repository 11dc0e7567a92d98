"""What a runner says of something that is to be carried, in the past tense."""

from thawline.ledger.events import Event


class CarryTaken(Event, frozen=True, kw_only=True):
    """Somebody goes; what is to be carried has this one owner from now on."""

    carry: str  # what is to be carried, as held|HK47M|chair 2|2321


class CarryDone(Event, frozen=True, kw_only=True):
    """It was handed over, or the people at the station were told: they have confirmed it."""

    carry: str
