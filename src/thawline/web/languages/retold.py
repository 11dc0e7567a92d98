"""
Templates in another language: their words are changed as they are read, before a page is made.

What a page shows of a site, a name, a note or a code is not there yet, so it cannot be taken
for a word of ours. What Python says is changed only where a template marks it with `ours`.
"""

import re
from collections.abc import Callable
from typing import Any

from django.template.base import Origin
from django.template.engine import Engine
from django.template.loaders import filesystem

from thawline.web.languages.catalogue import Catalogue, catalogues, filled

Tell = Callable[[str], str | None]
"""Returns what stands for some words in the language; None where nothing does."""
_INNER = r"\{\{.*?\}\}|\{%.*?%\}"
_CUT = re.compile(rf"(\{{#.*?#\}}|\{{%.*?%\}}|<(?:{_INNER}|[^>{{]|\{{(?![{{%]))*>)", re.DOTALL)
_VALUE = re.compile(r"\{\{.*?\}\}", re.DOTALL)
_ATTRIBUTE = re.compile(
    rf'( (?:aria-label|placeholder|title|alt)=")((?:{_INNER}|[^"{{])*)(?=")', re.DOTALL
)
_ARGUMENT = re.compile(
    r'((?:\|(?:default|default_if_none|counted):| (?:label|press|word|about)=)")([^"]*)(?=")'
)
_LETTERS = re.compile(r"[^\W\d_]{2}")
_ELEMENT = re.compile(r"<(/?)([a-z0-9]+)")
_OURS = re.compile(r"\|ours(?=[|} ])")
_OWN = re.compile(
    r"\|(?:when|last_minute|day_words|left|ms_day|language_words)\b[^|}]*?(?= *\}\})"
)
"""Filters whose result is ours whatever goes in, where one stands last."""
_PLAIN = frozenset({"title", "option", "textarea"})
"""What can have no element in it, so no mark of another language either."""
_LEFT_ALONE = frozenset({"script", "style"})


class Loader(filesystem.Loader):
    """Reads a template and changes its words into one language."""

    def __init__(self, engine: Engine, language: str, dirs: Any = None) -> None:
        super().__init__(engine, dirs)
        self._language = catalogues()[language]

    def get_contents(self, origin: Origin) -> str:
        """Return the template in the language."""
        return retold(super().get_contents(origin), self._language)


def retold(source: str, language: Catalogue) -> str:
    """Return a template in a language; words that it does not know stay, marked as English."""
    return _Retelling(language.literal, language.code).of(source)


def words_of(source: str) -> list[str]:
    """Return the words of a template, as a language's file has to have them."""
    found: list[str] = []
    _Retelling(lambda words: found.append(words.removesuffix(".")), "").of(source)
    return found


def _speaks_for_itself(name: str, tag: str) -> bool:
    """Return whether an element has its own language, no words, or sends the words it shows."""
    sent = name == "option" and " value=" not in tag
    return sent or name in _LEFT_ALONE or (name != "html" and " lang=" in tag)


class _Retelling:
    """One template on its way into a language."""

    def __init__(self, tell: Tell, code: str) -> None:
        self._tell = tell
        self._code = code
        self._inside = ""  # the element we are in that has a language of its own, or no words
        self._deep = 0
        self._plain = False

    def of(self, source: str) -> str:
        """Return the template told anew."""
        return "".join(self._part(part) for part in _CUT.split(source))

    def _part(self, part: str) -> str:
        if part.startswith("{#"):
            return part
        if part.startswith("{%"):
            return _ARGUMENT.sub(self._argument, part)
        if part.startswith("<"):
            if tag := _ELEMENT.match(part):
                self._enter(tag, part)
            return part if self._inside else _ATTRIBUTE.sub(self._attribute, part)
        return part if self._inside else self._text(part)

    def _enter(self, tag: re.Match[str], whole: str) -> None:
        closes, name = bool(tag[1]), tag[2]
        if name in _PLAIN:
            self._plain = not closes
        if self._inside:
            self._deep += (-1 if closes else 1) if name == self._inside else 0
            if not self._deep:
                self._inside = ""
        elif not closes and _speaks_for_itself(name, whole):
            self._inside, self._deep = name, 1

    def _text(self, text: str) -> str:
        bare = text.strip()
        before, _, after = text.partition(bare) if bare else (text, "", "")
        return before + self._run(bare, plain=self._plain) + after

    def _attribute(self, found: re.Match[str]) -> str:
        return found[1] + self._run(found[2], plain=True)

    def _argument(self, found: re.Match[str]) -> str:
        bare = found[2].strip()
        there = self._tell(bare) if _LETTERS.search(bare) else None
        return found[1] + (found[2] if there is None else found[2].replace(bare, there))

    def _run(self, run: str, *, plain: bool) -> str:
        values = [self._value(value, plain=plain) for value in _VALUE.findall(run)]
        words = " ".join(_VALUE.sub("{}", run).split())
        if not _LETTERS.search(re.sub(r"&\w+;", "", words)):
            return filled(words, values) if values else run
        there = self._tell(words)
        if there is not None:
            return filled(there, values)
        return run if plain else f'<span lang="en">{filled(words, values)}</span>'

    def _value(self, value: str, *, plain: bool) -> str:
        into = "|ours_plain" if plain else "|ours"
        value = _ARGUMENT.sub(self._argument, value)
        value = _OURS.sub(f'{into}:"{self._code}"', value)
        return _OWN.sub(lambda own: f'{own[0]}{into}:"{self._code}"', value)
