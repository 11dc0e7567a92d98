"""Last vial: open another? Twenty equally likely days as dots, each choice with its price."""

from dataclasses import dataclass
from datetime import timedelta

from django.http import HttpRequest, HttpResponse

from thawline.app.last_vial import SLOT, Ask, Opening, opening_now
from thawline.app.last_vial_words import advice, choices, days_of, says
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, from_ms, local_date, local_instant, to_ms
from thawline.draw.dots import dots_svg
from thawline.plan.no_show import by_hand
from thawline.plan.opening import Prices
from thawline.web.around import Around, around
from thawline.web.jobs import job
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.words import read_clock

_MOST_PRICE, _PERCENT = 1000.0, 100
_WAIT_PRICE = 0.25
"""Of five minutes of waiting, in doses: half of what the command line takes for ten."""
_EVERY_MS = 5 * 60 * 1000
_MINUTE = timedelta(minutes=1)
_DAYS = 20


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be done now, and what it leads to, on average."""

    name: str
    price: float
    wasted: float
    asked_back: float
    waited_min: float
    short_days: float


def show(request: HttpRequest) -> HttpResponse:
    """Return the advice of these five minutes, or that it is worked out."""
    asked = {name: request.GET.get(name, "") for name in ("person", "no_show", "close")}
    with around(request) as round_:
        told: dict[str, object] = {"asked": asked}
        if asked["person"]:
            told |= _worked_out(round_, asked)
        return page(request, round_, "last-vial", told)


def _worked_out(round_: Around, asked: dict[str, str]) -> dict[str, object]:
    """Return the advice, asked anew every five minutes; nothing is kept from page to page."""
    now = from_ms(to_ms(round_.at) // _EVERY_MS * _EVERY_MS)
    ask, site = _ask(round_, asked, now), round_.site
    found = job("last vial", (now, *asked.values()), lambda _tell: opening_now(site, ask))
    if not found.done or found.fault:
        return {"working": not found.done, "fault": found.fault, "as_of": now}
    return {"as_of": now, **_told(site, found.result)}


def _ask(round_: Around, asked: dict[str, str], now: Instant) -> Ask:
    close = asked["close"]
    at = read_clock(close) if close else None
    day = local_date(now, round_.zone)
    return Ask(
        now=now,
        prices=Prices(1.0, _number("a person asked back", asked["person"]), _WAIT_PRICE),
        no_show=None if not asked["no_show"] else by_hand(_share(asked["no_show"])),
        close=None if at is None else local_instant(day, at, round_.zone),
    )


def _share(typed: str) -> float:
    return _number("no-show", typed.removesuffix("%")) / _PERCENT


def _number(name: str, typed: str) -> float:
    """Return a number of 0 to 1000 that somebody typed."""
    try:
        value = float(typed.replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0 <= value <= _MOST_PRICE:
        raise RecordError(f"{name}: {typed!r} is no number from 0 to 1000", advice="as in 10")
    return value


def _told(site: Site, opening: Opening) -> dict[str, object]:
    known, last = opening.known, opening.last
    told: dict[str, object] = {
        "known": known,
        "soonest": min((batch.use_by for batch in known.in_hand), default=None),
        "reach": len(known.standby.can_be_here(known.close)),
        "last": last,
    }
    if last is None:
        return told
    rows = [
        Choice(
            name,
            each.price,
            each.doses_wasted,
            each.people_asked_back,
            each.slots_held * (SLOT / _MINUTE),
            _DAYS * each.chance_short,
        )
        for name, each, _called in choices(last, known)
    ]
    return told | {
        "says": says(last, known, site.zone),
        "dots": dots_svg(days_of(last, known, site.zone, demo=site.demo)),
        "choices": rows,
        "brings": known.chilled[0] if known.chilled and "bring" in advice(last) else "",
        "calls": "call" in advice(last),
        "ready": Instant(known.now + known.warm),
    }


SCREENS = (Screen("last-vial", "Last vial", "plan", show),)
