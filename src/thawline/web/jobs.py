"""
Work that takes longer than a page may: done once, one at a time, beside the pages.

A page asks for it by its name and what it is about. It gets what is known so far, and is shown
again when there is more: `news` counts what has come.
"""

from collections.abc import Callable, Hashable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from logging import getLogger
from threading import Lock
from typing import Any

from thawline.base.errors import ThawlineError

_log = getLogger("thawline.web")
_KEPT = 24
Tell = Callable[[str], None]
"""Takes a few words on how far the work is."""


@dataclass(slots=True)
class Job:
    """
    One piece of work.

    Args:
        says: How far it is, in a few words.
        done: It is over, one way or the other.
        result: What came of it.
        fault: Why nothing did, and what to do; empty: something did.
    """

    says: str = "begun"
    done: bool = False
    result: Any = None
    fault: str = ""


_lock = Lock()
_jobs: dict[tuple[str, Hashable], Job] = {}
_news = [0]
_workers = ThreadPoolExecutor(max_workers=1, thread_name_prefix="beside")


def job(name: str, about: Hashable, work: Callable[[Tell], Any]) -> Job:
    """Return the work of that name about that, begun now where nobody asked before."""
    with _lock:
        found = _jobs.get((name, about))
        if found is not None:
            return found
        begun = _jobs[name, about] = Job()
        for key in list(_jobs)[: max(0, len(_jobs) - _KEPT)]:
            if _jobs[key].done:
                del _jobs[key]
    _workers.submit(_run, name, begun, work)
    return begun


def newest(name: str, about: Hashable) -> Job | None:
    """Return the work of that name about that, None where nobody asked for it."""
    with _lock:
        return _jobs.get((name, about))


def news() -> int:
    """Return a number that grows whenever some work has got further."""
    return _news[0]


def _run(name: str, begun: Job, work: Callable[[Tell], Any]) -> None:
    def tell(says: str) -> None:
        begun.says = says
        _news[0] += 1

    try:
        begun.result = work(tell)
    except ThawlineError as error:
        begun.fault = f"{error.says}. {error.advice}".strip()
    except Exception as error:  # noqa: BLE001 - the last net of a thread; the page says so
        _log.error("%s in %s", type(error).__name__, name)
        begun.fault = "Something went wrong here. Ask again."
    begun.done = True
    _news[0] += 1
