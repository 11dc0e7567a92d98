"""
Too many at once are told so at once, instead of all of them waiting for ever.

An act that is told 503 was not looked at: the tablet keeps it and sends it again.
"""

from collections.abc import Callable, Iterable
from threading import BoundedSemaphore
from typing import Any

AT_ONCE = 24
"""Requests that are worked on at a time; the server has more threads than that, to say no."""
_SAYS = b"Too many at once. Nothing was recorded. It is sent again by itself."
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
            start(
                "503 Service Unavailable",
                [("Content-Type", "text/plain; charset=utf-8"), ("Retry-After", "2")],
            )
            return [_SAYS]
        try:
            return self._application(environ, start)
        finally:
            self._free.release()
