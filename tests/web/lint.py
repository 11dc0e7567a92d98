"""
The text lint of the design's section 8, and the forms of section 3.3: what no page may say.

Each rule has the name of what it forbids and returns what it found in one block of a page.
Sources: ISMP, "List of Error-Prone Abbreviations, Symbols, and Dose Designations" (naked
decimals, trailing zeros of doses, "8-h" hyphens as minus signs; from memory); the SI Brochure
of the BIPM, 9th edition, 5.4.3 (a space before the unit, mL). The rest are choices of ours.
"""

import re
from collections.abc import Callable, Iterator, Mapping

from tests.web.read_pages import Block, sentences

MOST_WORDS = 25
MOST_WORDS_ASKED = 15
FORBIDDEN = (
    *("please", "sorry", "invalid", "valid", "oops", "warning!", "error occurred"),
    *("dashboard", "board", "wizard", "portal", "tile", "cockpit", "pipeline", "forbidden"),
)
_SAID = frozenset(
    {
        *("p", "li", "h1", "h2", "h3", "td", "th", "dt", "dd", "label", "legend", "button"),
        *("summary", "caption", "option", "div", "section", "span", "a"),
        *("aria-label", "placeholder"),
    }
)
_PERSON = r"(?:person|people|somebody|observer|seat|DEMO-\d+)"
_SOURCE = re.compile(r"\[[a-z0-9 ,.-]+\]")
_LIMIT = re.compile(
    r"\bmay leave \d\d:\d\d|\buse by \d\d:\d\d|\blimit (?:minus )?\d|\bband (?:minus )?\d"
    r"|\bat (?:least|most) \d+ (?:doses|min|h|days)\b",
    re.IGNORECASE,
)
_SPANISH = re.compile(
    r"[¿¡]|\b(?:usted|borrador|vacuna|respuestas?|está|sí|señale|pregunte|atrás|qué|dosis)\b",
    re.IGNORECASE,
)
_ENGLISH = re.compile(r"\b(?:the|and|you|your|draft|ask|wait|answers?)\b", re.IGNORECASE)
HELD = "HELD \N{EN DASH} DO NOT USE"
_NOT_SO = re.compile(
    r"HELD(?! \N{EN DASH} DO NOT USE| tray)|(?i:held) ?[-:\N{EN DASH}] ?do not use"
)
_DRAWN = frozenset({"text", "desc"})
_ALOUD = frozenset({"handover"})
"""The page that is read aloud by one to the next; item numbers are not spoken."""
_WITH_ITEM = frozenset({"p", "li", "td"})


def _found(pattern: str, flags: int = 0) -> Callable[[Block], Iterator[str]]:
    compiled = re.compile(pattern, flags)

    def look(block: Block) -> Iterator[str]:
        yield from (match.group() for match in compiled.finditer(block.text))

    return look


def _long(block: Block) -> Iterator[str]:
    if block.tag in _SAID and block.lang == "en":
        yield from (each for each in sentences(block.text) if words_in(each) > MOST_WORDS)


def _long_question(block: Block) -> Iterator[str]:
    if "ask" in block.classes:
        yield from (each for each in sentences(block.text) if words_in(each) > MOST_WORDS_ASKED)


def words_in(sentence: str) -> int:
    """Return how many words a sentence has; items, sources and codes of people are none."""
    told = re.sub(r"^[A-Z]\d{1,2} |\b[A-Z]+-\d+\b,?", "", _SOURCE.sub("", sentence))
    return len([each for each in told.split() if re.search(r"\w", each)])


def _no_item(block: Block) -> Iterator[str]:
    if block.tag in _WITH_ITEM and not block.items:
        yield from (match.group() for match in _LIMIT.finditer(block.text))


def _not_spanish(block: Block) -> Iterator[str]:
    if block.lang != "es":
        yield from (match.group() for match in _SPANISH.finditer(block.text))


def _not_english(block: Block) -> Iterator[str]:
    if block.lang != "en":
        yield from (match.group() for match in _ENGLISH.finditer(block.text))


def _held(block: Block) -> Iterator[str]:
    if block.tag in _DRAWN:  # a strip has the word beside its cross-hatch
        return
    for match in _NOT_SO.finditer(block.text):
        if not match.group().startswith(HELD):
            yield block.text[match.start() : match.start() + 30]


RULES: Mapping[str, Callable[[Block], Iterator[str]]] = {
    "a forbidden word": _found(
        rf"(?<![\w-])(?:{'|'.join(map(re.escape, FORBIDDEN))})(?![\w])", re.IGNORECASE
    ),
    "a range with a hyphen": _found(
        r"(?<![\d-])\d+(?:\.\d+)? ?[-\N{EN DASH}] ?\d+(?:\.\d+)? ?(?:°C|mL|h\b|min\b|days)"
    ),
    "a naked decimal": _found(r"(?<![\w.])\.\d"),
    "a trailing zero": _found(
        r"\d+\.\d*0(?= ?(?:mL|mg|h\b|min\b))|limit (?:minus )?\d+\.\d*0\b"
    ),
    "ml without its capital": _found(r"(?<![a-zA-Z])(?:ml|ML|Ml)(?![a-zA-Z])"),
    "no space before a unit": _found(r"\d(?:mL|°C|mg\b|min\b)|\d%|\d ?° C"),
    "am or pm": _found(r"\d ?[ap]\.?m\b\.?", re.IGNORECASE),
    "a time without two digits": _found(r"(?<![\d:.])\d:[0-5]\d(?![\d:])"),
    "midnight as a time": _found(r"24:00|00:00 (?:Mon|Tue|Wed|Thu|Fri|Sat|Sun|tomorrow)"),
    "a decimal of hours": _found(r"\d\.\d+ ?(?:h|hours|min|minutes)\b"),
    "a hyphen for minus": _found(r"(?<![\w.])-\d+(?:\.\d+)? (?:°C|to)"),
    "a count without commas": _found(
        r"(?<![\w.,-])\d{4,}(?= (?:doses|vials|people|entries|places|syringes))|\bof \d{5,}"
    ),
    "shouting": _found(r"!(?!=)"),
    "a person released": _found(
        rf"\breleased? {_PERSON}|{_PERSON} (?:is|was|are) released", re.IGNORECASE
    ),
    "a dose lost": _found(
        r"\b(?:doses?|vials?|syringes?)[\w ]{0,12} lost\b|\blost (?:doses?|vials?)",
        re.IGNORECASE,
    ),
    "held in other words": _held,
    "a long sentence": _long,
    "a long question": _long_question,
    "Spanish that is not marked so": _not_spanish,
    "English that is not marked so": _not_english,
    "a rule without its item": _no_item,
}


def faults(screen: str, blocks: list[Block]) -> Iterator[str]:
    """Yield what a page says against the rules, each with the rule's name."""
    for name, rule in RULES.items():
        if rule is _no_item and screen in _ALOUD:
            continue
        for block in blocks:
            says = block.text[:160]
            yield from (f"{screen}: {name}: {found}: {says}" for found in rule(block))
