"""A person's faints: those stamped by name, and those of a card that was named afterwards."""

from collections.abc import Iterable

from thawline.observe.card_fold import CardState
from thawline.observe.stay_fold import DOWN, UP, Faint, StayState

Cards = Iterable[tuple[str, CardState]]
"""Emergency cards by their code."""


def faints_of(person: str, stay: StayState, cards: Cards) -> tuple[Faint, ...]:
    """
    Return a person's faints; one without an end keeps them here.

    Args:
        person: The person's code.
        stay: What was stamped by name.
        cards: All of them: a press on one needs no name, and whose it is may be said later.
    """
    known = {(each.card, each.down_ms) for each in stay.faints}
    later = [
        Faint(stamp.hi_ms, code, _up_ms(stamp.hi_ms, card, stay))
        for code, card in cards
        if card.person == person
        for stamp in card.stamps
        if stamp.what == DOWN and (code, stamp.hi_ms) not in known
    ]
    return (*stay.faints, *later)


def _up_ms(down_ms: int, card: CardState, stay: StayState) -> int | None:
    """Return when they were up again, on the card or by name; None while nobody stamped it."""
    ups = [*stay.ups_ms, *(stamp.lo_ms for stamp in card.stamps if stamp.what == UP)]
    return min((up_ms for up_ms in ups if up_ms >= down_ms), default=None)
