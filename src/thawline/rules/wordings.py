"""
Words in a rule file: the same sentence in several languages, its figures as placeholders.

A text says {clocks.open.allows} and not "6 h", so that it can never disagree with the figure.
"""

import re
from datetime import date, timedelta

from thawline.base.durations import Allowance
from thawline.rules.table import Table

RUNTIME = frozenset({"vial", "lot", "opened", "use_by", "drawn_by", "site"})
"""Placeholders that a label fills when it is printed, from the vial and not from the file."""


class Words(Table, frozen=True, kw_only=True):
    """One sentence or more; English is always there."""

    en: str
    es: str | None = None


class Review(Table, frozen=True, kw_only=True):
    """Who looked over a translation, and when; without one it is shown as a draft."""

    by: str
    on: date


class Reviews(Table, frozen=True, kw_only=True):
    """The reviewed translations of a text."""

    es: Review | None = None


class Lesson(Table, frozen=True, kw_only=True):
    """[[lesson]]: one rule as it is taught; `about` names the tables whose figures it says."""

    about: tuple[str, ...]
    says: Words
    reviewed: Reviews | None = None


class Label(Table, frozen=True, kw_only=True):
    """[labels.*]: what is printed on a flag, label or card."""

    says: Words
    reviewed: Reviews | None = None


def is_text(key: str) -> bool:
    """Say whether a dotted key holds words that people read."""
    return key.endswith((".en", ".es"))


def placeholders(text: str) -> list[str]:
    """Return the names in braces, in the order of the text."""
    return re.findall(r"\{([^{}]*)\}", text)


_SPOKEN = {
    "en": (("day", "days"), ("hour", "hours"), ("minute", "minutes")),
    "es": (("día", "días"), ("hora", "horas"), ("minuto", "minutos")),
}


def spoken_in(length: Allowance, language: str) -> str:
    """Return a length of time in words that people use: 90 days, 4 hours, 2 minutos."""
    hours, rest = divmod(length.elapsed, timedelta(hours=1))
    counts = (length.days, hours, rest // timedelta(minutes=1))
    return " ".join(
        f"{count} {one if count == 1 else many}"
        for count, (one, many) in zip(counts, _SPOKEN[language], strict=True)
        if count
    )
