"""Cold store: every unit now, the night and the day until now, alerts, calls, and a reading."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse

from thawline.app.call_chain import chain_lines
from thawline.app.cold import CAUTION
from thawline.app.unheld import Unheld, unheld
from thawline.app.unit_list import UnitNow
from thawline.base.errors import RuleError
from thawline.draw.trace import spoken_degrees
from thawline.store.alert_fold import ToldAlert
from thawline.store.units import FOLLOWED
from thawline.web.around import Around, around
from thawline.web.kept import kept_a_minute
from thawline.web.pages import SHOWN_ALERTS, page
from thawline.web.screens import Screen
from thawline.web.slabs import Slab, slab
from thawline.web.traces import began, unit_trace
from thawline.web.units_now import units_now

_PER_DEGREE = 1000
_SILENT = {"not-followed", "no-alarm"}


@dataclass(frozen=True, slots=True)
class UnitShown:
    """
    One unit as its part of the page shows it.

    Args:
        now: The unit, its last reading and its alerts.
        known: How its temperature is known.
        degrees: Its last reading, as people say it; empty: none.
        band: Its limits, as people say them.
        item: The item of its band in the protocol; empty: it has none.
        picture: Its trace; empty: there is nothing to draw.
        calls: Whom somebody calls about each alert, line by line.
        unheld: What was inside an excursion and is held by nobody.
        silent: That nobody follows it, or that nobody would be called.
    """

    now: UnitNow
    known: str
    degrees: str
    band: str
    item: str
    picture: str
    calls: list[tuple[ToldAlert, list[str]]]
    unheld: list[Slab]
    silent: list[Slab]


def show(request: HttpRequest) -> HttpResponse:
    """Return every unit of the site at this moment."""
    with around(request) as round_:
        found = units_now(round_)
        of_site = [slab(each) for each in found.findings]
        told = {
            "units": [_shown(round_, each) for each in found.units],
            "found": found,
            "of_site": of_site[:SHOWN_ALERTS],
            "of_site_more": of_site[SHOWN_ALERTS:],
            "caution": CAUTION,
            "may": {each: round_.who.may(each) for each in ("record-reading", "hold")},
        }
        return page(request, round_, "cold-store", told)


def _shown(round_: Around, each: UnitNow) -> UnitShown:
    last = each.last
    return UnitShown(
        now=each,
        known=FOLLOWED[each.unit.followed],
        degrees="" if last is None else spoken_degrees(last.temp_mc / _PER_DEGREE),
        band=_band(each),
        item=_item(round_, each.unit.band),
        picture=_picture(round_, each),
        calls=[
            (told, chain_lines(round_.site, each.what, told))
            for told in each.alerts
            if each.what is not None
        ],
        unheld=_unheld(round_, each),
        silent=[slab(found) for found in each.findings if found.code in _SILENT],
    )


def _band(each: UnitNow) -> str:
    if each.what is None:
        return each.unit.band
    ends = (each.what.figures.low_mc, each.what.figures.high_mc)
    low, high = (spoken_degrees(mc / _PER_DEGREE).removesuffix(" °C") for mc in ends)
    return f"{low} to {high} °C"


def _item(round_: Around, band: str) -> str:
    try:
        known = round_.rules.protocol.bands.get(band)
    except RuleError:
        return ""
    return "" if known is None else known.item


def _picture(round_: Around, each: UnitNow) -> str:
    try:
        return unit_trace(round_, each.unit)
    except RuleError:
        return ""


def _unheld(round_: Around, each: UnitNow) -> list[Slab]:
    """Return what nobody holds of a unit's excursions since the last night began."""
    name = each.unit.name

    def ask() -> list[Unheld]:
        try:
            return unheld(round_.site, name, began(round_))
        except RuleError:
            return []

    found = kept_a_minute(f"unheld {name}", round_.view.head, round_.at, ask)
    return [slab(one.finding) for one in found]


SCREENS = (Screen("cold-store", "Cold store", "see-cold-store", show),)
