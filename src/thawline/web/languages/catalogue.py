"""
A language's file: for each sentence of the screens, in English, the same in that language.

`[screens]` has what stands in templates and scripts, piece by piece; `[rooms]` has what Python
says, in whole sentences. `{}` stands for what differs from time to time: a number, a code, a
name. `{2} {1}` turns two of them round. The full stop at the end of a sentence is left out on
both sides. A file without a reviewer is a draft, and every page in it says so.
"""

import re
import tomllib
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path

ENGLISH = "en"
_HERE = Path(__file__).parent
_GAP = re.compile(r"\{(\d?)\}")
_DATE = re.compile(
    rf"\b({'|'.join(f'{date(2026, 2, day):%a}' for day in range(1, 8))}) (\d{{1,2}}) "
    rf"({'|'.join(f'{date(2026, month, 1):%b}' for month in range(1, 13))})\b"
)
_MINUS = re.compile(r"\bminus (?=\d)")
_CUTS = (re.compile(r"(?<=[.?!]) +"), re.compile(r"(?<=[.?!:;,]) +"))
"""Where a text is cut: after sentences, and where one is not known whole, after clauses."""
_FILLED = r"(\S+(?:(?<!\.) \S+){0,5}?)"
"""What a gap can hold: a few words, never the end of a sentence, or it would swallow prose."""
_Pattern = tuple[re.Pattern[str], str]


@dataclass(frozen=True)
class Catalogue:
    """
    One language.

    Args:
        code: As in HTML's `lang`.
        name: What its speakers call it.
        reviewed_by: Who compared it with the English; "" for nobody.
        reviewed_on: When, as 2026-01-31; "" for never.
        screens: What stands for each piece of a template, or sentence of a script.
        rooms: What stands for each sentence that Python says.
        names: The short names of weekdays and months, and "minus", by their English.
    """

    code: str
    name: str
    reviewed_by: str
    reviewed_on: str
    screens: Mapping[str, str]
    rooms: Mapping[str, str]
    names: Mapping[str, str]
    _patterns: Mapping[str, Sequence[_Pattern]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        patterns: dict[str, list[_Pattern]] = defaultdict(list)
        for words, there in self.rooms.items():
            if "{}" in words:
                parts = (re.escape(part) for part in words.split("{}"))
                patterns[_begins(words)].append((re.compile(_FILLED.join(parts)), there))
        for found in patterns.values():  # the most of our own words first
            found.sort(key=lambda each: -len(each[0].pattern.replace(_FILLED, "")))
        object.__setattr__(self, "_patterns", dict(patterns))

    @property
    def draft(self) -> bool:
        """Return whether nobody has reviewed it."""
        return not self.reviewed_by

    def literal(self, words: str) -> str | None:
        """Return what stands for just these words, their gaps with them; None for nothing."""
        bare = words.removesuffix(".")
        there = self.screens.get(bare)
        return None if there is None else there + words[len(bare) :]

    def said(self, says: str) -> str | None:
        """Return what was said in this language; None if a sentence of it is not known."""
        if whole := self._sentence(says):
            return whole
        for cut in _CUTS:
            parts = cut.split(says)
            known = [there for part in parts if (there := self._sentence(part))]
            if len(known) == len(parts) > 1:
                return " ".join(known)
        return None

    def figures(self, text: str) -> str:
        """Return a text with the days, months and signs in it as this language has them."""
        names = self.names
        dated = _DATE.sub(lambda at: f"{names[at[1]]} {at[2]} {names[at[3]]}", text)
        return _MINUS.sub(f"{names['minus']} ", dated)

    def _sentence(self, says: str) -> str | None:
        bare = says.rstrip(".:;,")
        small = bare[:1].lower() + bare[1:]
        there = self._known(bare)
        if there is None and (smaller := self._known(small)):
            there = smaller[:1].upper() + smaller[1:]
        return None if there is None else there + says[len(bare) :]

    def _known(self, bare: str) -> str | None:
        if (there := self.rooms.get(bare, self.screens.get(bare))) is not None:
            return there
        for begins in (_begins(bare), ""):
            for pattern, gapped in self._patterns.get(begins, ()):
                if found := pattern.fullmatch(bare):
                    return filled(gapped, [self.figures(part) for part in found.groups()])
        is_date = _DATE.search(bare) and not _DATE.sub("", bare).strip(" 0123456789:")
        return self.figures(bare) if is_date else None


def _begins(words: str) -> str:
    """Return the first word, by which a pattern is found; "" where a gap stands in it."""
    first = words.partition(" ")[0]
    return "" if "{}" in first else first


def filled(there: str, parts: Sequence[str]) -> str:
    """Return a sentence with its gaps filled, in their order or by their numbers."""
    following = iter(parts)
    return _GAP.sub(lambda gap: parts[int(gap[1]) - 1] if gap[1] else next(following), there)


@cache
def catalogues() -> Mapping[str, Catalogue]:
    """Return every language there is a file of, by its code."""
    return {path.stem: read_catalogue(path) for path in sorted(_HERE.glob("*.toml"))}


def read_catalogue(path: Path) -> Catalogue:
    """Return the language of a file."""
    told = tomllib.loads(path.read_text("utf-8"))
    by, on = told.get("reviewed_by", ""), told.get("reviewed_on", "")
    return Catalogue(
        path.stem, told["name"], by, on, told["screens"], told["rooms"], told["names"]
    )
