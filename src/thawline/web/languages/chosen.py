"""Which language a tablet's screens are in: English, or one that was chosen in its footer."""

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_POST

from thawline.web.languages.catalogue import ENGLISH, catalogues
from thawline.web.onward import back

_COOKIE = "language"
_YEAR_S = 365 * 24 * 3600
_SCRIPTS = Path(__file__).parents[1] / "static" / "web"
_SAYS = re.compile(r'\bsay\(\s*"([^"]+)"')


def language_of(request: HttpRequest) -> str:
    """Return the code of the language, which is also the name of its templates' engine."""
    kept = request.COOKIES.get(_COOKIE, ENGLISH)
    return kept if kept in catalogues() else ENGLISH


def rendered(
    request: HttpRequest, template: str, told: Mapping[str, Any], status: int = 200
) -> HttpResponse:
    """Return a page in the tablet's language; every page is made here."""
    return render(request, template, dict(told), status=status, using=language_of(request))


def in_language(request: HttpRequest, says: str) -> str:
    """Return a sentence of ours in the tablet's language; in English where it is not known."""
    return told(says, language_of(request))


def told(says: str, language: str) -> str:
    """Return a sentence of ours in a language; in English where it is not known in it."""
    found = catalogues().get(language)
    return says if found is None else found.said(says) or says


def chosen(request: HttpRequest) -> dict[str, Any]:
    """Return what every page knows of languages: its own, None for English, and the others."""
    code = language_of(request)
    return {
        "language": catalogues().get(code),
        "screen_languages": tuple(catalogues().values()),
        "tablet_words": tablet_words(code),
    }


@require_POST
def set_language(request: HttpRequest) -> HttpResponse:
    """Set the tablet's language and return to the page."""
    response = HttpResponseRedirect(back(request))
    asked = request.POST.get("language", "")
    if asked == ENGLISH or asked in catalogues():
        response.set_cookie(_COOKIE, asked, max_age=_YEAR_S, secure=True, samesite="Strict")
    return response


def tablet_words(code: str) -> Mapping[str, str]:
    """Return what the scripts of a page say, in its language; nothing in English."""
    language = catalogues().get(code)
    return {} if language is None else _of_scripts(language.code)


@cache
def _of_scripts(code: str) -> Mapping[str, str]:
    told = ((said, catalogues()[code].literal(said)) for said in said_by_scripts())
    return {said: there for said, there in told if there is not None}


@cache
def said_by_scripts() -> tuple[str, ...]:
    """Return every sentence that a script says with `say`, with `{}` for what differs."""
    sources = (path.read_text("utf-8") for path in sorted(_SCRIPTS.glob("*.js")))
    return tuple({said: None for source in sources for said in _SAYS.findall(source)})
