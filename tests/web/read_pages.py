"""
A page's text as a person meets it: block by block, words of buttons and labels among them.

Only what is shown or read aloud counts; what stands in scripts, styles and addresses does not.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

_BLOCKS = frozenset(
    {
        *("p", "li", "h1", "h2", "h3", "td", "th", "dt", "dd", "caption", "label", "legend"),
        *("button", "summary", "option", "text", "desc", "title", "div", "section", "main"),
        *("form", "header", "footer", "nav", "ul", "ol", "tr", "table", "fieldset"),
        *("details", "select"),
    }
)
_SILENT = frozenset({"script", "style"})
_ENDLESS = frozenset({"meta", "link", "input", "br", "hr", "wbr", "img"})
_READ_ALOUD = ("aria-label", "placeholder", "alt")


@dataclass
class Block:
    """One block of a page: its element, language, text, and the elements around it."""

    tag: str
    lang: str
    within: tuple[str, ...]
    classes: frozenset[str]
    parts: list[str] = field(default_factory=list)
    items: int = 0

    @property
    def text(self) -> str:
        """Return what is read, with single spaces."""
        return re.sub(r"\s+", " ", "".join(self.parts)).strip()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[tuple[str, Block]] = []
        self.blocks: list[Block] = []
        self._silent = 0
        self.outer = Block("page", "", (), frozenset())

    def handle_starttag(self, tag, attrs):
        if tag in _SILENT:
            self._silent += 1
        told = dict(attrs)
        above = self.open[-1][1] if self.open else self.outer
        classes = frozenset((told.get("class") or "").split())
        for name in _READ_ALOUD:
            if told.get(name):
                said = Block(name, told.get("lang") or above.lang, (), classes, [told[name]])
                self.blocks.append(said)
        if "item" in classes:
            for _, block in self.open:
                block.items += 1
        if tag in _ENDLESS:
            return
        block = above
        if tag in _BLOCKS or told.get("lang"):
            within = (*above.within, tag)
            block = Block(tag, told.get("lang") or above.lang, within, above.classes | classes)
            self.blocks.append(block)
        self.open.append((tag, block))

    def handle_endtag(self, tag):
        if tag in _SILENT:
            self._silent -= 1
        while self.open:
            name, _ = self.open.pop()
            if name == tag:
                return

    def handle_data(self, data):
        if not self._silent and self.open:
            self.open[-1][1].parts.append(data)


def blocks_of(page: str) -> list[Block]:
    """Return the blocks of a page that say something, in order."""
    reader = _Reader()
    reader.feed(page)
    return [each for each in reader.blocks if each.text]


def sentences(text: str) -> Iterator[str]:
    """Yield the sentences of a text; a colon or a semicolon ends none."""
    for each in re.split(r"(?<=[.!?])\s+(?=[A-Z0-9¿¡])", text):
        if each.strip():
            yield each.strip()
