"""Command cards: a page to print, with a code for each press that needs no screen."""

from django.http import HttpRequest, HttpResponse

from thawline.web.around import around
from thawline.web.cards import CARDS
from thawline.web.pages import page
from thawline.web.screens import Screen
from thawline.web.squares import square


def show(request: HttpRequest) -> HttpResponse:
    """Return the cards."""
    cards = [{"card": card, "square": square(card.text)} for card in CARDS]
    with around(request) as round_:
        return page(request, round_, "command-cards", {"cards": cards})


SCREENS = (Screen("command-cards", "Command cards", "see-rules", show),)
