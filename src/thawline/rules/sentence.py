"""One rule of a protocol in words."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Sentence:
    """One rule in words, its item code and the key of its source."""

    item: str
    says: str
    source: str


def title(name: str) -> str:
    """Return the name of a table as the beginning of a sentence."""
    return name.replace("_", " ").replace("-", " ").capitalize()


def in_speech(figure: Decimal) -> str:
    """Return a figure as a sentence says it: "minus 15" below zero, never "-15"."""
    return f"{'minus ' if figure < 0 else ''}{abs(figure).normalize():f}"
