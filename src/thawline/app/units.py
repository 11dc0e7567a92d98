"""Which storage unit or table an act speaks of, by the units that the site has named."""

from difflib import get_close_matches

from msgspec.structs import replace

from thawline.app.in_force import in_force
from thawline.app.ports import Site
from thawline.base.errors import RecordError, RuleError
from thawline.ledger.site import KEY, SITE
from thawline.rules.protocol import Band, Protocol
from thawline.store.units import (
    CALLED,
    FROZEN,
    REFRIGERATOR,
    ROOM,
    StorageUnit,
    only_unit,
    unit_named,
)

KEEPS = {"fridge": REFRIGERATOR, "table": ROOM, "freezer": FROZEN}
"""The band of the unit that a move to the fridge, the table or the freezer puts vials in."""


def into(site: Site, to: str, named: str) -> str:
    """
    Return the unit that vials go into: the one that was named, or the only one it can be.

    A site that has named none of that sort may call it what it likes. A table that nobody
    named stays unnamed; then its vials may be on any table.

    Raises:
        NotFoundError: The site has units of that sort, and none of that name.
        RecordError: Several can be meant, or the one that was named is for something else.
    """
    band = KEEPS[to]
    of_that_sort = [unit for unit in site.units if unit.band == band]
    if not named:
        return "" if band == ROOM and len(of_that_sort) > 1 else only_unit(site.units, band)
    known = {unit.name: unit.band for unit in site.units}
    if known.get(named, band) != band:
        kept = CALLED.get(known[named], f"unit kept at {known[named]}")
        raise RecordError(
            f"{named} is a {kept}, not a {CALLED[band]}", advice="thawline site show"
        )
    return unit_named(of_that_sort, named).name if of_that_sort else named


def out_of(site: Site, named: str) -> str:
    """Return the freezer that vials come out of; RecordError where it could be several."""
    return named or only_unit(site.units, FROZEN)


def band_of(unit: StorageUnit, protocol: Protocol) -> Band:
    """
    Return what a unit must keep. A table: from the refrigerator's low end to the room's high.

    Raises:
        RuleError: The protocol has no such band.
    """
    band = protocol.bands.get(unit.band)
    if band is None:
        raise RuleError(
            f"{unit.name} is to keep the band {unit.band!r}, which the protocol does not have",
            advice=f"thawline site unit {unit.name} --band BAND",
        )
    if unit.band != ROOM:
        return band
    fridge = protocol.bands[REFRIGERATOR]
    return replace(band, low_c=fridge.low_c, low_f=fridge.low_f)


def unit_of(site: Site, name: str) -> StorageUnit:
    """Return a unit that the site has named, with its band; NotFoundError for another."""
    return unit_named(site.units, name)


def check_band(site: Site, band: str) -> None:
    """
    Check a band against the adopted protocol; before one is adopted, any is taken.

    Raises:
        RecordError: The protocol has no such band.
    """
    with site.ledger.view() as view:
        state = view.one(SITE, KEY)
        if state is None or not state.adopted:
            return
        bands = in_force(site, view, site.now()).protocol.bands
    if band not in bands:
        near = get_close_matches(band, bands, 1)
        advice = f"did you mean {near[0]}?" if near else f"one of {', '.join(bands)}"
        raise RecordError(f"the protocol has no band {band!r}", advice=advice)
