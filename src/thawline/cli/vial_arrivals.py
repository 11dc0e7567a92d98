"""Commands of `thawline vial` for what comes in: cartons, thawed vials, drawn syringes."""

from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

from thawline.app import receiving
from thawline.app.ports import Site
from thawline.base.instants import from_ms, to_ms
from thawline.cli.acting import doing, recorded
from thawline.cli.answers import Answer
from thawline.cli.asking import moment, site_named
from thawline.cli.options import Acting, Celsius
from thawline.cli.text import counted
from thawline.cli.vials import flagged
from thawline.ledger import events as ev
from thawline.receive.inspection import Arrival

NOBODY = Acting()
Yes = Annotated[bool, Parameter(negative="")]


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Seen:
    """
    The arrival check.

    Parameters
    ----------
    unit
        The freezer they went into; the only one there is if left out.
    listed
        How many the packing list says.
    temp_c
        The temperature on arrival, in degrees Celsius.
    dry_ice
        They came on dry ice.
    soft
        Something was soft or partly thawed.
    damage
        What was damaged.
    """

    unit: str = ""
    listed: int | None = None
    temp_c: Celsius = None
    dry_ice: Yes = False
    soft: Yes = False
    damage: str = ""


SEEN = Seen()


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Came:
    """
    Vials that come thawed, with their history; what is left out is not known and holds them.

    Parameters
    ----------
    thawed_at
        When the thaw began.
    thawed_until
        The latest it can have begun, where that is not known exactly.
    room_used_min
        Minutes they have stood at room temperature.
    transport_used_min
        Minutes they have been carried since they left the freezer.
    trips_used
        How often they have been carried since then.
    unit
        The refrigerator they went into; the only one there is if left out.
    """

    thawed_at: str | None = None
    thawed_until: str | None = None
    room_used_min: int | None = None
    transport_used_min: int | None = None
    trips_used: int | None = None
    unit: str = ""


CAME = Came()


def receive(
    lot: str, expiry: str, vials: int, *, seen: Seen = SEEN, acting: Acting = NOBODY
) -> Answer:
    """
    Record frozen cartons that came in, with the arrival check.

    thawline vial receive ZZ-1041 2026-08 120 --listed 120 --temp-c -21.5 --by "Rowan Thistle"
    thawline vial receive ZZ-1014 2026-08-31 60 --soft --damage "one corner wet" --by Rowan

    Parameters
    ----------
    lot
        The lot as printed.
    expiry
        As printed: 2026-08 or 2026-08-31.
    vials
        How many vials were counted; they get codes when they leave the freezer.
    """
    site = site_named(acting.site)
    arrival = Arrival(vials, seen.listed, seen.temp_c, seen.dry_ice, seen.damage, seen.soft)
    label = receiving.Label(lot, expiry)
    asked = doing(site, acting)
    outcome = receiving.receive_frozen(site, asked, label, seen.unit, arrival)
    freezer = outcome.event.unit if isinstance(outcome.event, ev.ShipmentArrived) else ""
    return recorded(outcome, site, f"{counted(vials, 'vial')} of lot {lot} in {freezer}")


def receive_chilled(
    lot: str, expiry: str, vials: int, *, came: Came = CAME, acting: Acting = NOBODY
) -> Answer:
    """
    Record vials that came thawed, with their history; what is left out holds them.

    thawline vial receive-chilled ZZ-1041 2026-08 12 --thawed-at 2026-02-02T05:10:00-06:00 \
--room-used-min 20 --transport-used-min 95 --trips-used 1 --by "Rowan Thistle"
    thawline vial receive-chilled ZZ-1041 2026-08 12 --trips-used 1 --by "Rowan Thistle"

    Parameters
    ----------
    lot
        The lot as printed.
    expiry
        As printed: 2026-08 or 2026-08-31.
    vials
        How many; each gets its code now.
    """
    site = site_named(acting.site)
    asked = doing(site, acting)
    label = receiving.Label(lot, expiry)
    outcome = receiving.receive_chilled(site, asked, label, vials, _history(came, site))
    codes = list(outcome.event.vials) if isinstance(outcome.event, ev.VialsArrived) else []
    return flagged(outcome, site, codes, asked.at, "received chilled")


def _history(came: Came, site: Site) -> receiving.Thawed:
    lo, hi = _ms(came.thawed_at, site), _ms(came.thawed_until or came.thawed_at, site)
    return receiving.Thawed(
        thawed_lo=None if lo is None else from_ms(lo),
        thawed_hi=None if hi is None else from_ms(hi),
        room_used_min=came.room_used_min,
        transport_used_min=came.transport_used_min,
        trips_used=came.trips_used,
        unit=came.unit,
    )


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Drawn:
    """
    What is known of syringes that came ready drawn.

    Parameters
    ----------
    expiry
        The vial's expiry, as printed.
    punctured
        When the vial they came from was first punctured.
    drawn_by
        Who drew them.
    use_by
        Until when they may be used.
    """

    expiry: str | None = None
    punctured: str | None = None
    drawn_by: str | None = None
    use_by: str | None = None


DRAWN = Drawn()


def receive_syringes(
    lot: str, syringes: list[str], *, drawn: Drawn = DRAWN, acting: Acting = NOBODY
) -> Answer:
    """
    Record syringes that came ready drawn; a gap in what is known holds them.

    thawline vial syringes ZZ-1041 S-01 S-02 --punctured 07:10 --drawn-by Hazel --use-by 13:10
    thawline vial syringes ZZ-1041 S-03 --by Rowan

    Parameters
    ----------
    lot
        The lot as printed.
    syringes
        A code for each syringe, as on its label.
    """
    site = site_named(acting.site)
    event = ev.SyringesArrived(
        syringes=tuple(code.upper() for code in syringes),
        lot=lot,
        expiry=drawn.expiry,
        punctured_ms=_ms(drawn.punctured, site),
        drawn_by=drawn.drawn_by,
        use_by_ms=_ms(drawn.use_by, site),
    )
    outcome = receiving.receive_syringes(site, doing(site, acting), event)
    return recorded(outcome, site, f"{counted(len(syringes), 'syringe')} of lot {lot}")


def _ms(text: str | None, site: Site) -> int | None:
    return None if text is None else to_ms(moment(text, site.now(), site.zone))
