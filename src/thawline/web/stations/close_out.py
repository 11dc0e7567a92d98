"""Close-out: does the day balance, what blocks the signatures, where to look, who signs."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.http import HttpRequest, HttpResponse

from thawline.account.balance import Sheet
from thawline.account.fold import ACCOUNT, parts_of
from thawline.account.likeliest import GUIDE, spoken_odds
from thawline.account.postings import STOCK
from thawline.adapters.missing_dose import weights
from thawline.app.closing import CloseOut, Search, close_out_in
from thawline.base.findings import Finding
from thawline.base.instants import Instant, from_ms, read_date
from thawline.web.around import Around, around
from thawline.web.gaps import gaps
from thawline.web.kept import kept_a_minute
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.slabs import slab

_CODE = re.compile(r"\b([A-Z]{2}[0-9]{2}[A-Z])(?:-[0-9]{2})?\b")


@dataclass(frozen=True, slots=True)
class Counted:
    """A unit with a lot in it: how many somebody counted last, when, and whether it fits."""

    place: str
    lot: str
    counted: int | None
    off: int
    at: Instant | None

    @property
    def says(self) -> str:
        """Return how the count fits the book."""
        if not self.off:
            return "0 off"
        return f"{abs(self.off)} {'fewer' if self.off < 0 else 'more'} than the book"


def show(request: HttpRequest) -> HttpResponse:
    """Return the sheet that two people look at before they sign a day."""
    with around(request) as round_:
        day = read_date(request.GET["on"]) if request.GET.get("on") else round_.today
        found = closed(round_, day)
        told = {
            "found": found,
            "off": _off(found.whole),
            "blockers": [(slab(each), _vial_in(each)) for each in found.blockers],
            "beside": [slab(each) for each in (*found.people, *found.rounds)],
            "searches": [_search(each) for each in found.searches],
            "guide": GUIDE,
            "rate": _percent(found.waste.usage.wastage_rate),
            "so_far": _percent(found.waste.cumulative.wastage_rate),
            "places": list(_places(round_)),
            "gaps": gaps(),
            "may": {"count": round_.who.may("count"), "sign": round_.who.may("close-out")},
        }
        return page(request, round_, "close-out", told)


def closed(round_: Around, day: date) -> CloseOut:
    """Return the sheet of a day, as it stands in this minute."""

    def ask() -> CloseOut:
        when = (day, round_.at)
        return close_out_in(round_.site, round_.view, when, weights(), round_.reckonings)

    if day != round_.today:  # nobody looks at another day by the second
        return ask()
    return kept_a_minute("close-out", (round_.settled, day), round_.at, ask)


def _off(sheet: Sheet) -> int:
    """Return by how many doses the two sides of the sum differ."""
    there = sheet.opening + sheet.received + sheet.extra
    gone = sheet.given + sheet.wasted + sheet.missing + sheet.sent
    return there - gone - sheet.left


def _vial_in(found: Finding) -> str:
    """Return the vial whose page answers a finding; empty: it names none."""
    named = _CODE.search(found.says)
    return named.group(1) if named else ""


def _search(search: Search) -> dict[str, object]:
    return {
        "gap": search.gap,
        "places": [(each.place, spoken_odds(each.odds), each.reason) for each in search.places],
    }


def _percent(rate: Fraction | None) -> str:
    return "not known" if rate is None else f"{float(100 * rate):.1f} %"


def _places(round_: Around) -> Iterator[Counted]:
    """Yield the units and lots whose sealed and unopened doses somebody counts."""
    for key, balance in round_.view.all(ACCOUNT):
        place, lot = parts_of(key)
        if not place.startswith(f"{STOCK}:") or (balance.doses == 0 and not balance.count):
            continue
        count = balance.count
        yield Counted(
            place=place,
            lot=lot,
            counted=count.doses if count else None,
            off=count.off if count else 0,
            at=from_ms(count.at_ms) if count else None,
        )


SCREENS = (Screen("close-out", "Close-out", "count", show, sums=True),)
