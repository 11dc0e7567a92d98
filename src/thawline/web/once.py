"""
Parts of pages that are made once while what they show stays the same.

    {% once who=who path=request.path %} ... {% endonce %}

Such a part is shown what it names and nothing else, besides the language of its page: what it
does not name cannot be in it, so what was kept is right for whoever names the same. Each
browser's own token is put in as it is sent.
"""

from collections import OrderedDict
from collections.abc import Hashable, Mapping
from secrets import token_hex
from threading import Lock
from typing import Any

from django import template
from django.conf import settings
from django.template.base import FilterExpression, Node, NodeList, Parser, Token, token_kwargs
from django.template.context import Context
from django.utils.safestring import SafeString, mark_safe

register = template.Library()
MOST_CHARACTERS = 4_000_000
"""So much is kept of one part; then what was asked for least lately is made anew."""
_OF_THE_LANGUAGE = ("language", "screen_languages")
"""What a template's engine stands for: each language has parts of its own."""
TOKEN = token_hex(16)
"""Stands in a kept part where each browser's own token goes; nobody else can know it."""


class Once(Node):
    """One part of one template, and what it was for each of what it named."""

    def __init__(self, nodelist: NodeList, shown: Mapping[str, FilterExpression]) -> None:
        self.nodelist = nodelist
        self._shown = shown
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, str] = OrderedDict()
        self._characters = 0

    def render(self, context: Context) -> SafeString:
        """Return the part, as it was made before or made now."""
        shown = {name: asked.resolve(context) for name, asked in self._shown.items()}
        key = (settings.SITE_FOLDER, *shown.values())
        with self._lock:
            if (part := self._kept.get(key)) is not None:
                self._kept.move_to_end(key)
        if part is None:
            part = self._made(context, shown)
            self._keep(key, part)
        return mark_safe(  # noqa: S308  written by a template
            part.replace(TOKEN, str(context["csrf_token"])) if TOKEN in part else part
        )

    def _made(self, context: Context, shown: dict[str, Any]) -> str:
        beside = {name: context.get(name) for name in _OF_THE_LANGUAGE}
        own = context.new({**beside, **shown, "csrf_token": TOKEN})
        return str(self.nodelist.render(own))

    def _keep(self, key: Hashable, part: str) -> None:
        with self._lock:
            if key not in self._kept:
                self._kept[key] = part
                self._characters += len(part)
            while self._characters > MOST_CHARACTERS:
                _, gone = self._kept.popitem(last=False)
                self._characters -= len(gone)


@register.tag
def once(parser: Parser, token: Token) -> Once:
    """Read such a part; every word after `once` is name=value, each value hashable."""
    words = token.split_contents()[1:]
    shown = token_kwargs(words, parser)
    if words or not shown:
        raise template.TemplateSyntaxError("once: name=value, and nothing else")
    nodelist = parser.parse(("endonce",))
    parser.delete_first_token()
    return Once(nodelist, shown)
