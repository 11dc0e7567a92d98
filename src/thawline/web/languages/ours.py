"""Filters that show what Python says in the language of a page, which retold.py gives them."""

import re
from functools import lru_cache
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from thawline.web.languages.catalogue import catalogues

register = template.Library()
_PROSE = re.compile(r"[^\W\d_]{2}.* ")


@register.filter
def ours(value: Any, language: str = "") -> Any:
    """Return a sentence in the language; marked as English where it is not known in it."""
    if not language or not isinstance(value, str) or isinstance(value, SafeString):
        return value
    there = _told(value, language)
    if there is None and _PROSE.search(value):
        return format_html('<span lang="en">{}</span>', value)
    return value if there is None else there


@register.filter
def is_told(value: str, language: str) -> bool:
    """Say whether a sentence is shown in the language: its English may stand beside it then."""
    return _told(value, language) is not None


@register.filter
def ours_plain(value: Any, language: str) -> Any:
    """Return a sentence in the language where no element can stand."""
    if not isinstance(value, str) or isinstance(value, SafeString):
        return value
    return _told(value, language) or value


@lru_cache(4000)
def _told(value: str, language: str) -> str | None:
    return catalogues()[language].said(value)
