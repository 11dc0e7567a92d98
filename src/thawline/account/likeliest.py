"""
The likeliest places of a missing dose, with a reason and odds each: where to look first.

The odds of a place are its trace's weight against the weights of all traces found, plus room
for a place that left none. See docs/background/missing-dose.md.
"""

from dataclasses import dataclass
from fractions import Fraction

from thawline.account.clues import Clue
from thawline.account.traces import Weights

GUIDE = (
    "A guide to where to look first, from weights we have stated ourselves; not a measured "
    "chance. Look at all of them before a dose is called missing."
)


@dataclass(frozen=True, slots=True)
class Likely:
    """One place to look at, why, and its odds against everything else that is known."""

    place: str
    reason: str
    odds: Fraction
    code: str


def likeliest(
    found: tuple[Clue, ...], weights: Weights, most: int | None = None
) -> tuple[Likely, ...]:
    """
    Return the places with the best odds first; of equals, in the order they were found.

    The odds of all places together stay below one: something that left no trace is possible.

    Args:
        found: Every trace of the missing dose, once each.
        weights: What each kind of trace weighs.
        most: How many to return; None for all of them.
    """
    total = weights.nothing_of_this.weight + sum(
        weights.traces[clue.code].weight for clue in found
    )
    places = [
        Likely(
            clue.place,
            clue.reason,
            Fraction(weights.traces[clue.code].weight, total),
            clue.code,
        )
        for clue in found
    ]
    return tuple(sorted(places, key=lambda each: -each.odds)[:most])


def spoken_odds(odds: Fraction) -> str:
    """Return the odds as a person says them: "about 6 in 10", "less than 1 in 10"."""
    tenths = round(odds * 10)
    return f"about {tenths} in 10" if tenths else "less than 1 in 10"
