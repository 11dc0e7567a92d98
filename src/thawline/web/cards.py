"""
Command cards: printed codes that press the button of the page that is shown.

For gloved, wet or cold hands, and for a foot pedal that types one of these texts and Enter.
The texts have no Y, no Z and no hyphen: they are the same on every keyboard.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Card:
    """
    One card.

    Args:
        text: What its code holds.
        act: The act whose form on the page it sends.
        says: What stands on it.
        where: On which screen it works.
    """

    text: str
    act: str
    says: str
    where: str


CARDS = (
    Card("CARD1DRAWN", "draw-dose", "1 dose drawn", "Draw table"),
    Card("CARDWASTED", "waste-dose", "Dose wasted", "Draw table"),
    Card("CARDOPENED", "open-vial", "Vial opened", "Draw table"),
    Card("CARDUNDONE", "undo", "Undo", "every screen, for 60 s after an entry"),
    Card("CARDLEAVES", "left", "May leave", "Observation area, after the person's code"),
)


def card_of(text: str) -> Card | None:
    """Return the card with that text; None: it is none."""
    return next((card for card in CARDS if card.text == text.strip().upper()), None)


def cards_told() -> str:
    """Return the cards for a page's script, as `text=act`, with spaces between."""
    return " ".join(f"{card.text}={card.act}" for card in CARDS)
