"""Acts of `thawline vial` on the way of a dose: move, open, draw, waste, discard."""

from decimal import Decimal

from thawline.app import vials
from thawline.app.acts import Outcome
from thawline.base.errors import RecordError
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import site_named
from thawline.cli.options import Acting, Celsius
from thawline.cli.text import counted
from thawline.cli.vials import flagged
from thawline.ledger import events as ev

NOBODY = Acting()


def to_fridge(
    *vial: str,
    lot: str | None = None,
    count: int | None = None,
    unit: str = "",
    out_of: str = "",
    acting: Acting = NOBODY,
) -> Answer:
    """
    Move vials to the refrigerator: by code, or so many of a lot out of the freezer.

    thawline vial to-fridge --lot ZZ-1041 --count 12 --by "Rowan Thistle"
    thawline vial to-fridge HK47M CM62T --unit fridge-1 --by "Rowan Thistle"

    Parameters
    ----------
    vial
        Codes of vials that have left the freezer before.
    lot
        A lot in the freezer; its vials get their codes now and their clocks start.
    count
        How many of that lot.
    unit
        The refrigerator they go into; the only one there is if left out.
    out_of
        The freezer they come from; the only one there is if left out.
    """
    return _to("fridge", (vial, unit), (lot, count, out_of), None, acting)


def to_table(
    *vial: str,
    lot: str | None = None,
    count: int | None = None,
    unit: str = "",
    out_of: str = "",
    room_c: Celsius = None,
    acting: Acting = NOBODY,
) -> Answer:
    """
    Move vials to the table: the room clock starts.

    thawline vial to-table HK47M CM62T --by "Rowan Thistle"
    thawline vial to-table --lot ZZ-1041 --count 2 --room-c 21.5 --by "Rowan Thistle"

    Parameters
    ----------
    vial
        Codes of vials in the refrigerator.
    lot
        A lot in the freezer, for a thaw at room temperature.
    count
        How many of that lot.
    unit
        The table they go to; the one at --station if left out.
    out_of
        The freezer they come from; the only one there is if left out.
    room_c
        The temperature at the table, in degrees Celsius.
    """
    return _to("table", (vial, unit), (lot, count, out_of), room_c, acting)


def to_freezer(*vial: str, unit: str = "", acting: Acting = NOBODY) -> Answer:
    """
    Say no: a thawed vial is never refrozen. With --happened it is recorded and held for ever.

    thawline vial to-freezer HK47M --by "Rowan Thistle"
    thawline vial to-freezer HK47M --happened --why "found there at 06:10" --by "Rowan Thistle"

    Parameters
    ----------
    vial
        Codes of vials.
    unit
        The freezer they were found in; the only one there is if left out.
    """
    return _to("freezer", (vial, unit), (None, None, ""), None, acting)


def open_(vial: str, *, acting: Acting = NOBODY) -> Answer:
    """
    Open a vial: its clock starts.

    thawline vial open HK47M --by "Hazel Rainmoor" --station table-1
    thawline vial open HK47M --at 10:02 --dry-run --by "Hazel Rainmoor"

    Parameters
    ----------
    vial
        The code on its flag.
    """
    site = site_named(acting.site)
    asked = doing(site, acting)
    outcome = vials.open_vial(site, asked, vial.upper())
    return flagged(outcome, site, [vial.upper()], asked.at, "opened")


def draw(vial: str, doses: int = 1, *, acting: Acting = NOBODY) -> Answer:
    """
    Draw doses from an open vial, one a syringe.

    thawline vial draw HK47M --by "Hazel Rainmoor" --station table-1
    thawline vial draw HK47M 3 --by "Hazel Rainmoor"

    Parameters
    ----------
    vial
        The code on its flag.
    doses
        How many.
    """
    site = site_named(acting.site)
    outcome = vials.draw(site, doing(site, acting), vial.upper(), doses)
    drawn = outcome.event
    syringes = list(drawn.syringes) if isinstance(drawn, ev.DoseDrawn) else []
    says = f"{counted(len(syringes), 'dose')} drawn from {vial.upper()}: {', '.join(syringes)}"
    return recorded(outcome, site, says, {"syringes": syringes})


def waste(vial: str, doses: int, *, cause: str, acting: Acting = NOBODY) -> Answer:
    """
    Record doses of a vial that nobody will get.

    thawline vial waste HK47M 1 --cause short-volume --by "Hazel Rainmoor"
    thawline vial waste HK47M 2 --cause spilled --why "knocked over" --by "Hazel Rainmoor"

    Parameters
    ----------
    vial
        The code on its flag.
    doses
        How many.
    cause
        One of the listed causes of waste.
    """
    site = site_named(acting.site)
    place = f"vial:{vial.upper()}"
    outcome = vials.waste(site, doing(site, acting), place, doses, cause)
    return recorded(
        outcome, site, f"{counted(doses, 'dose')} of {vial.upper()} wasted: {cause}"
    )


def discard(vial: str, *, cause: str, acting: Acting = NOBODY) -> Answer:
    """
    End a vial; what it still holds is wasted.

    thawline vial discard HK47M --cause leftover --by "Rowan Thistle"
    thawline vial discard HK47M --cause use-by --at 16:05 --by "Rowan Thistle"

    Parameters
    ----------
    vial
        The code on its flag.
    cause
        One of the listed causes of waste.
    """
    site = site_named(acting.site)
    outcome = vials.discard(site, doing(site, acting), vial.upper(), cause)
    ended = outcome.event
    doses = ended.doses if isinstance(ended, ev.VialDiscarded) else 0
    says = f"{vial.upper()} discarded with {counted(doses, 'dose')} in it: {cause}"
    return recorded(outcome, site, says, {"doses_wasted": doses})


def flag(*vial: str, acting: Acting = NOBODY) -> Answer:
    """
    Record that new flags are stuck on and scanned; only then a longer limit counts.

    thawline vial flag HK47M CM62T --by "Rowan Thistle"
    thawline vial flag HK47M --at 06:10 --by "Rowan Thistle"

    Parameters
    ----------
    vial
        Codes as scanned from the new flags.
    """
    site = site_named(acting.site)
    asked = doing(site, acting)
    codes = [code.upper() for code in vial]
    outcome = vials.flag(site, asked, codes)
    return flagged(outcome, site, codes, asked.at, "flagged")


def _to(
    place: str,
    what: tuple[tuple[str, ...], str],
    out_of: tuple[str | None, int | None, str],
    room_c: Decimal | None,
    acting: Acting,
) -> Answer:
    (codes, goes_into), (lot, count, freezer) = what, out_of
    site = site_named(acting.site)
    asked = doing(site, acting)
    if lot is None:
        outcome = vials.move(
            site, asked, [code.upper() for code in codes], place, room_c, goes_into
        )
    elif codes:
        raise RecordError(
            "name vials by code, or a lot and a count, not both", advice="leave --lot out"
        )
    elif count is None:
        raise RecordError(f"how many of lot {lot}?", advice="add --count")
    else:
        outcome = vials.take_out(site, asked, lot, freezer, count, place, room_c, goes_into)
    return flagged(outcome, site, _moved(outcome), asked.at, f"to the {place}")


def _moved(outcome: Outcome) -> list[str]:
    return list(outcome.event.vials) if isinstance(outcome.event, ev.VialMoved) else []
