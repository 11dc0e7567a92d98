"""`thawline help words`: what every word means, from the one glossary there is."""

import re
from importlib.resources import files

from cyclopts import App

from thawline.base.errors import NotFoundError
from thawline.cli.answers import Answer
from thawline.cli.text import wrapped

app = App(name="help", help="The glossary: thawline help words.")

_ROLE = re.compile(r"\{[a-z:]+\}`([^`<]+?)(?:\s*<[^>]*>)?`")
_MARKS = str.maketrans("", "", "*`")
_ENTRY = re.compile(r"^(?P<word>\S.*)\n  (?P<says>(?:.+\n?)(?:  .*\n?)*)", re.MULTILINE)


@app.command
def words(word: str | None = None) -> Answer:
    """
    Say what a word means here, or list every word with its meaning.

    thawline help words carton
    thawline help words

    Parameters
    ----------
    word
        The word; all of them if left out.
    """
    known = glossary()
    if word is None:
        return Answer({"words": known}, _page(known))
    found = {name: says for name, says in known.items() if word.casefold() in name.casefold()}
    if not found:
        raise NotFoundError(f"no word {word!r} in the glossary", advice="thawline help words")
    return Answer({"words": found}, _page(found))


def _page(words: dict[str, str]) -> str:
    """Return words with their meanings, a paragraph each."""
    return "\n\n".join(f"{word}\n{wrapped(f'  {says}', 2)}" for word, says in words.items())


def glossary() -> dict[str, str]:
    """Return every word of the glossary with its meaning, as plain text."""
    page = (files("thawline.cli") / "glossary.md").read_text(encoding="utf-8")
    body = page.partition(":sorted:")[2].partition("\n:::")[0]
    return {entry["word"].strip(): _plain(entry["says"]) for entry in _ENTRY.finditer(body)}


def _plain(says: str) -> str:
    return " ".join(_ROLE.sub(r"\1", says).translate(_MARKS).split())
