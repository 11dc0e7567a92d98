"""What the next pages of a screen say of its last act: for a minute, kept in memory alone."""

from typing import Any

from django.core.cache import cache
from django.http import HttpRequest

_LASTS_S = 60
_SAID, _REFUSED = "said", "refused"


def say(request: HttpRequest, said: dict[str, Any]) -> None:
    """Keep the line of an act: `at`, `says`, `id` and whether it can be `undone`."""
    cache.set(_key(request, _SAID), said, _LASTS_S)


def say_against(request: HttpRequest, at: str, rows: list[dict[str, str | None]]) -> None:
    """Keep what the rules said against an act at a time; nothing, where they said nothing."""
    cache.set(_key(request, _REFUSED), {"at": at, "rows": rows}, _LASTS_S)


def said(request: HttpRequest) -> dict[str, Any] | None:
    """Return the line of the last act, None after a minute."""
    return _found(request, _SAID)


def said_against(request: HttpRequest) -> dict[str, Any] | None:
    """Return what the rules said against the last act and when, None after a minute."""
    return _found(request, _REFUSED)


def _found(request: HttpRequest, kind: str) -> dict[str, Any] | None:
    if request.session.session_key is None:
        return None
    kept: dict[str, Any] | None = cache.get(_key(request, kind))
    return kept


def _key(request: HttpRequest, kind: str) -> str:
    """Return what stands for this screen; one that nobody logged in to gets a session."""
    if request.session.session_key is None:
        request.session.create()
    return f"{kind}-{request.session.session_key}"
