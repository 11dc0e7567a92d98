"""
Too many at once are told so at once, instead of all of them waiting for ever.

An act that is told 503 was not looked at: the tablet keeps it and sends it again.
"""

from collections.abc import Callable, Iterable
from threading import BoundedSemaphore
from typing import Any

import msgspec

from thawline.web.refusals import API, Refusal

AT_ONCE = 24
"""Requests that are worked on at a time; the server has more threads than that, to say no."""
_BUSY = Refusal(
    "busy", "Too many at once. Nothing was recorded.", advice="It is sent again by itself."
)
_OF_PAGES = ("text/plain; charset=utf-8", f"{_BUSY.says} {_BUSY.advice}".encode())
_OF_TABLETS = ("application/json", msgspec.json.encode(_BUSY))
Answer = Iterable[bytes]
Application = Callable[[dict[str, Any], Callable[..., Any]], Answer]


class Shedding:
    """A WSGI application that answers 503 while as many as it can take are worked on."""

    def __init__(self, application: Application, at_once: int = AT_ONCE) -> None:
        self._application = application
        self._free = BoundedSemaphore(at_once)

    def __call__(self, environ: dict[str, Any], start: Callable[..., Any]) -> Answer:
        """Return the application's answer, or that there are too many."""
        if not self._free.acquire(blocking=False):
            kind, says = _OF_TABLETS if environ["PATH_INFO"].startswith(API) else _OF_PAGES
            start("503 Service Unavailable", [("Content-Type", kind), ("Retry-After", "2")])
            return [says]
        try:
            return self._application(environ, start)
        finally:
            self._free.release()
