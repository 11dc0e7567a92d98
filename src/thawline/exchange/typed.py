"""
What a scanner types, and what was printed: lost separators, another keyboard, Caps Lock.

A scanner acts as a keyboard. If it is set to another layout than the tablet, Y and Z change
places and a hyphen becomes another character; with Caps Lock on, letters change their case.
Two scans of one printed code that holds all of these show what arrives here.
"""

from dataclasses import dataclass

from thawline.base.errors import ExchangeError

SEPARATOR = "\x1d"
_LEFT, _RIGHT = "SCANyZ-7", "aBzY48"
TEST_CODE = f"{_LEFT}{SEPARATOR}{_RIGHT}"
"""What the printed test code holds; our own, it stands for nothing else."""
_SWAP = str.maketrans("yzYZ", "zyZY")
_LONGEST = 12
"""More than this between the two halves is no separator."""


@dataclass(frozen=True, slots=True)
class Typing:
    """
    How a scanner types on one tablet.

    Args:
        separator: What arrives for ASCII 29; empty: nothing does.
        hyphen: What arrives for a hyphen.
        swapped: Y and Z change places.
        caps: Small and large letters change places.
    """

    separator: str = SEPARATOR
    hyphen: str = "-"
    swapped: bool = False
    caps: bool = False

    def as_printed(self, typed: str) -> str:
        """Return what was printed, given what was typed."""
        text = typed.replace(self.separator, SEPARATOR) if self.separator else typed
        if self.swapped:
            text = text.translate(_SWAP)
        if self.hyphen and self.hyphen != "-":
            text = text.replace(self.hyphen, "-")
        return text.swapcase() if self.caps else text


def learned(first: str, second: str) -> Typing:
    """
    Return how a scanner types, from two scans of the test code.

    Raises:
        ExchangeError: The two differ, or neither is the test code.
    """
    if first != second:
        raise ExchangeError(
            "the two scans of the test code differ",
            advice="scan it twice more; hold the scanner still until it sounds",
        )
    for caps in (False, True):
        for swapped in (False, True):
            found = _fitted(first, swapped=swapped, caps=caps)
            if found is not None:
                return found
    raise ExchangeError(
        "that is not the test code", advice="scan the square code on this page, twice"
    )


def _fitted(typed: str, *, swapped: bool, caps: bool) -> Typing | None:
    """Return the typing of these two habits that turns the scan into the test code."""
    before, after = _LEFT.split("-")
    if swapped:
        before, after, right = (part.translate(_SWAP) for part in (before, after, _RIGHT))
    else:
        right = _RIGHT
    if caps:
        before, after, right = before.swapcase(), after.swapcase(), right.swapcase()
    if not (typed.startswith(before) and typed.endswith(right)):
        return None
    hyphen, between, separator = typed[len(before) : -len(right)].partition(after)
    if not between or len(hyphen) > 1 or len(separator) > _LONGEST:
        return None
    return Typing(separator, hyphen, swapped=swapped, caps=caps)


def advice(typing: Typing) -> list[str]:
    """Return what to set at the scanner or the tablet, a sentence each; nothing: all well."""
    found = []
    if not typing.separator:
        found.append(
            "The scanner loses the separator. Set it to send ASCII 29 for GS (or FNC1). "
            "Until then lots are matched with those on the site."
        )
    elif typing.separator != SEPARATOR:
        found.append(
            f"The scanner types {typing.separator} for the separator. This tablet now knows "
            "it; set the scanner to send ASCII 29 where it can."
        )
    if typing.swapped or typing.hyphen != "-":
        found.append(
            "The scanner's keyboard layout is not the tablet's. Set the scanner to the layout "
            "of the tablet. This tablet puts it right until then."
        )
    if typing.caps:
        found.append("Caps Lock is on. Turn it off, then scan the test code again.")
    return found
