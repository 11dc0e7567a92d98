"""
A few requests are worked on at a time; some wait for their turn, and what is more is told so.

Threads that work side by side on one core make each other slow: all would be late together. An
act that is told 503 was not looked at: the tablet keeps it and sends it again.
"""

from collections.abc import Callable, Iterable
from threading import BoundedSemaphore
from typing import Any

import msgspec

from thawline.web.refusals import API, Refusal
from thawline.web.turns import Turns

AT_ONCE = 3
"""Requests that are worked on at a time: one computes while others wait for the disk."""
WAITING = 21
"""Requests that wait for their turn; the server has more threads than both, to say no."""
_BUSY = Refusal(
    "busy", "Too many at once. Nothing was recorded.", advice="It is sent again by itself."
)
_OF_PAGES = ("text/plain; charset=utf-8", f"{_BUSY.says} {_BUSY.advice}".encode())
_OF_TABLETS = ("application/json", msgspec.json.encode(_BUSY))
Answer = Iterable[bytes]
Application = Callable[[dict[str, Any], Callable[..., Any]], Answer]


class Shedding:
    """A WSGI application that answers 503 while as many as it can take work or wait."""

    def __init__(
        self, application: Application, at_once: int = AT_ONCE, waiting: int = WAITING
    ) -> None:
        self._application = application
        self._places = BoundedSemaphore(at_once + waiting)
        self._turns = Turns(at_once)

    def __call__(self, environ: dict[str, Any], start: Callable[..., Any]) -> Answer:
        """Return the application's answer, or that there are too many."""
        if not self._places.acquire(blocking=False):
            kind, says = _OF_TABLETS if environ["PATH_INFO"].startswith(API) else _OF_PAGES
            start("503 Service Unavailable", [("Content-Type", kind), ("Retry-After", "2")])
            return [says]
        try:
            with self._turns.taken():
                return self._application(environ, start)
        finally:
            self._places.release()
