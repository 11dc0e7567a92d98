"""The answer about a code that nobody here knows."""

from difflib import get_close_matches

from thawline.base.errors import NotFoundError


def not_here(kind: str, code: str, known: list[str]) -> NotFoundError:
    """Return the error for a code that nobody here knows, with the nearest one that is."""
    near = get_close_matches(code, known, 1, 0.6)
    return NotFoundError(
        f"no {kind} {code} here",
        advice=f"did you mean {near[0]}?" if near else f"thawline {kind} list",
    )
