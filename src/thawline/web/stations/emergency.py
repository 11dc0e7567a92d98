"""
Emergency card: what to do, and a stamp for each moment. It opens on a locked tablet too.

Nothing is typed and no weight is asked for. Each press stands by itself; the name comes later.
The site's other alerts wait while somebody stands before this page.
"""

from dataclasses import dataclass
from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.utils.crypto import get_random_string

from thawline.app.observing import emergency_card
from thawline.base.errors import NotFoundError, RuleError
from thawline.base.instants import Instant, from_ms, local_date
from thawline.observe.card_fold import CARD, CardState, Stamp
from thawline.observe.emergency import GIVEN, card_lines
from thawline.observe.stay_fold import DOWN, UP
from thawline.web.around import Around, around
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.stations.acts_of_observing import CODE

_CLEAR = "ACDEFHJKLMNPRTUVWXY34679"
"""Letters and digits that nobody takes for another one."""
_LONG = 4
WORDS = {
    GIVEN: "Epinephrine given",
    "called": "Emergency number called",
    "crew": "Crew is here",
    DOWN: "Person down",
    UP: "Up again",
}


@dataclass(frozen=True, slots=True)
class Moment:
    """One stamp as the card shows it: when, what, how long ago, the next dose's window."""

    at: Instant
    words: str
    ago: timedelta
    by: str
    opens: Instant | None
    closes: Instant | None


def show(request: HttpRequest) -> HttpResponse:
    """Return the card, ready for the first press."""
    return show_one(request, get_random_string(_LONG, _CLEAR), fresh=True)


def show_one(request: HttpRequest, card: str, *, fresh: bool = False) -> HttpResponse:
    """Return one emergency's card with its stamps."""
    if not CODE.fullmatch(card):
        raise NotFoundError("there is no such card", advice="open the emergency card anew")
    with around(request) as round_:
        state = round_.view.one(CARD, card) or CardState()
        moments = [_moment(round_, each) for each in state.stamps]
        doses = [each for each in moments if each.opens is not None]
        told = {
            "card": card,
            "state": state,
            "moments": moments,
            "given": sum(each.what == GIVEN for each in state.stamps),
            "next": doses[-1] if doses else None,
            "buttons": [(what, words) for what, words in WORDS.items() if what != GIVEN],
            "others": _others(round_, card) if fresh else [],
            **_lines(round_),
            "alerts": [],
            "more_alerts": 0,
        }
        return page(request, round_, "emergency-card", told, "emergency-card.html")


def _lines(round_: Around) -> dict[str, object]:
    """Return the card's lines; where the protocol has none, what to do without one."""
    try:
        found = emergency_card(round_.site, round_.at)
    except RuleError as error:
        return {"lines": [], "none": error.says, "version": None}
    return {"lines": card_lines(found.card), "none": "", "version": found.protocol}


def _moment(round_: Around, stamp: Stamp) -> Moment:
    at = from_ms(stamp.hi_ms)
    window = stamp.dose_by_ms
    return Moment(
        at=at,
        words=WORDS.get(stamp.what, stamp.what),
        ago=max(round_.at - at, timedelta()),
        by=stamp.by,
        opens=from_ms(window[0]) if window else None,
        closes=from_ms(window[1]) if window else None,
    )


def _others(round_: Around, card: str) -> list[tuple[str, Instant]]:
    """Return the cards that were begun today, the newest first."""
    found = [
        (key, from_ms(state.stamps[0].hi_ms))
        for key, state in round_.view.all(CARD)
        if key != card and state.stamps
    ]
    today = [each for each in found if local_date(each[1], round_.zone) == round_.today]
    return sorted(today, key=lambda each: each[1], reverse=True)


SCREENS = (
    Screen("emergency-card", "Emergency card", "stamp", show),
    Screen("emergency", "Emergency card", "stamp", show_one, takes="card"),
)
