"""How the tour sets its text: a numbered head, paragraphs and pictures set in below it."""

from collections.abc import Iterable, Sequence
from textwrap import TextWrapper

from thawline.base.findings import Finding
from thawline.cli.answers import alert_lines
from thawline.cli.text import WIDTH

_INDENT = "   "
_FURTHER = f"{_INDENT}  "


def part(head: str, *below: str | Iterable[str]) -> list[str]:
    """Return a part of the page: paragraphs are wrapped, pictures stay line by line."""
    lines = [head]
    for each in below:
        lines += _wrapped(each) if isinstance(each, str) else set_in(each)
    return lines


def alerts(findings: Sequence[Finding]) -> list[str]:
    """Return each finding as the command line shows it, wrapped for the page."""
    return [line for each in alert_lines(findings) for line in _wrapped(each, bare=True)]


def set_in(lines: Iterable[str]) -> list[str]:
    """Return the lines of a picture or table, set in."""
    return [f"{_INDENT}{line}".rstrip() for line in lines]


def _wrapped(text: str, *, bare: bool = False) -> list[str]:
    first, further = ("", "  ") if bare else (_INDENT, _FURTHER)
    width = WIDTH - len(_INDENT) if bare else WIDTH
    wrapper = TextWrapper(width, initial_indent=first, subsequent_indent=further)
    wrapper.break_on_hyphens = False
    return wrapper.wrap(" ".join(text.split()))
