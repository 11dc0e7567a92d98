"""A text of a protocol as people read it: each placeholder is the figure of its own table."""

from collections.abc import Mapping

from thawline.base.durations import Allowance
from thawline.base.errors import RuleError
from thawline.rules.protocol import Protocol
from thawline.rules.wordings import RUNTIME, Words, placeholders, spoken_in


def spoken(protocol: Protocol, words: Words, language: str = "en") -> str:
    """
    Return a text with the protocol's figures in it; English where nobody translated.

    What a label fills when it is printed stays as it is.

    Raises:
        RuleError: A placeholder names no figure of this protocol.
    """
    text = words.es if language == "es" and words.es else words.en
    for name in placeholders(text):
        if name not in RUNTIME:
            text = text.replace(f"{{{name}}}", _figure(protocol, name, language))
    return text


def _figure(protocol: Protocol, name: str, language: str) -> str:
    value: object = protocol
    for part in name.split("."):
        value = value.get(part) if isinstance(value, Mapping) else getattr(value, part, None)
    if value is None:
        raise RuleError(
            f"a text names {{{name}}}, which is no figure of {protocol.protocol.id}",
            advice="thawline protocol check names the line",
        )
    return spoken_in(value, language) if isinstance(value, Allowance) else str(value)
