"""How a page is made: its screen's own part, within the header, alerts, menu and undo line."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.crypto import get_random_string

from thawline.adapters import rehearsal
from thawline.base.errors import RuleError
from thawline.base.findings import Finding, Level, worst_first
from thawline.base.instants import Instant, read_instant
from thawline.web.acts import acts
from thawline.web.around import Around
from thawline.web.cards import cards_told
from thawline.web.here import folder, title
from thawline.web.languages.chosen import rendered
from thawline.web.last_said import said, said_against
from thawline.web.looking import searched_often
from thawline.web.screens import Screen, menu, open_to_anybody, screens
from thawline.web.slabs import slab
from thawline.web.staff.glass import broken
from thawline.web.staff.pressers import presser_word
from thawline.web.touch import size_of
from thawline.web.units_now import units_say
from thawline.web.who import Who

SHOWN_ALERTS = 2
_WHOLE = "today"
"""The screen that has every alert of the site, also those of the cold store."""
UNDO_SHOWN = timedelta(seconds=60)
THEMES = ("daylight", "sun", "lamp")


def page(
    request: HttpRequest,
    round_: Around,
    screen: str,
    own: Mapping[str, Any],
    template: str = "",
) -> HttpResponse:
    """Return a whole page of a screen; `own` is what its template shows."""
    found = screens()[screen]
    told = {**frame(request, round_, found), **own}
    return rendered(request, template or f"{screen}.html", told)


def frame(request: HttpRequest, round_: Around, screen: Screen) -> dict[str, Any]:
    """Return what stands around every screen."""
    whole = screen.path == _WHOLE
    alerts = worst_first([*_alerts(round_), *(_of_cold_store(round_) if whole else ())])
    return {
        "screen": screen,
        "site": round_.site,
        "site_title": title(),
        "zone": round_.zone,
        "now": round_.at,
        "today": round_.today,
        "day_zone": (round_.zone, round_.today),
        "who": round_.who,
        "lots": _lots(round_),
        "menu": menu(round_.who),
        "alerts": [slab(each) for each in alerts[:SHOWN_ALERTS]],
        "more_alerts": max(0, len(alerts) - SHOWN_ALERTS),
        "alerts_behind": [slab(each) for each in alerts[SHOWN_ALERTS:]] if whole else [],
        "refused": [slab(each) for each in _refused(request, round_.at)],
        "said": _said(request, round_.at),
        "demo": round_.site.demo,
        "moved": round_.site.demo and rehearsal.is_moved(folder()),
        "theme": theme_of(request),
        "touch": size_of(request),
        "glass": broken(),
        "to_anybody": open_to_anybody(),
        "idle_s": _idle_s(round_.who, screen),
        "head": round_.view.head.seq,
        "tap": get_random_string(8),
        **_holds(round_, alerts[:SHOWN_ALERTS]),
        "presser": presser_word(request),
        "cards": cards_told(),
        "for_good": " ".join(each.name for each in acts().values() if not each.undone),
    }


def _idle_s(who: Who, screen: Screen) -> int:
    """Return after how long the page locks; 0: never, as what anybody may press in need."""
    return 0 if who.locked or screen in open_to_anybody() else who.idle_s


def theme_of(request: HttpRequest) -> str:
    """Return the theme that the tablet was set to."""
    kept = request.COOKIES.get("theme", "")
    return kept if kept in THEMES else THEMES[0]


def _alerts(round_: Around) -> tuple[Finding, ...]:
    own = tuple(_searches(round_))
    if not round_.who.may("see-day") and not round_.who.may("see-vials"):
        return own
    try:
        return (*round_.alerts, *own)
    except RuleError as error:
        return (Finding(Level.STOP, error.code, f"{error.says}. {error.advice}"), *own)


def _searches(round_: Around) -> Iterator[Finding]:
    """Yield who searched for names often, to those who see who looked."""
    if not round_.who.may("see-looks"):
        return
    for by, count in searched_often(round_.at).items():
        says = f"{by} searched for names {count} times in an hour. Ask why; see Who looked."
        yield Finding(Level.CHECK, "many-searches", says)


def _of_cold_store(round_: Around) -> tuple[Finding, ...]:
    if not round_.who.may("see-cold-store"):
        return ()
    try:
        return units_say(round_)
    except RuleError:
        return ()


def _lots(round_: Around) -> tuple[str, ...]:
    try:
        return round_.lots
    except RuleError:
        return ()


def _holds(round_: Around, shown: Sequence[Finding]) -> dict[str, Any]:
    """Return every hold that stands, and those that no alert on the page names already."""
    holds = round_.holds
    told = " ".join(each.says for each in shown if each.code == "vial-held")
    rest = [each for each in holds if not all(what in told for what in each.held)]
    return {"holds": holds, "holds_not_told": rest}


def _refused(request: HttpRequest, at: Instant) -> list[Finding]:
    """Return what the rules said against the last act, for a minute or until the next."""
    kept = said_against(request)
    if kept is None or not at - UNDO_SHOWN <= read_instant(kept["at"]) <= at:
        return []
    rows = kept["rows"]
    return [Finding(Level(row["level"]), row["code"], row["says"], row["item"]) for row in rows]


def _said(request: HttpRequest, at: Instant) -> dict[str, Any] | None:
    """Return the line of the last act, while it can be undone."""
    kept = said(request)
    if kept is None or not at - UNDO_SHOWN <= read_instant(kept["at"]) <= at:
        return None
    return {**kept, "at": read_instant(kept["at"])}
