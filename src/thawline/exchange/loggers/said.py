"""Something that a logger file says about itself, and where it says so."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Value = TypeVar("Value")
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Said(Generic[Value]):
    """A value, and the line and words that it was read from."""

    value: Value
    line: int
    text: str

    def shown(self) -> str:
        """Return where it stands: "line 7: Temp (°C)"."""
        return f"line {self.line}: {short(self.text)}"


def short(text: str) -> str:
    """Return a text from a file as far as a message can show it."""
    return text if len(text) <= _SHOWN else f"{text[: _SHOWN - 1]}…"


def differing(found: Sequence[Said[Value]]) -> Said[Value] | None:
    """Return the first that says something else than the first of all; None if all agree."""
    return next((each for each in found if each.value != found[0].value), None)
