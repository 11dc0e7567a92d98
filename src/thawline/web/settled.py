"""
The place in the ledger that a page of sums goes by: the newest, or once a second for news.

A page that looks for news by itself, with nobody touching it, goes by the first head of the
second. Whoever opens such a page, or has just pressed on it, sees the newest. Holds and alerts
stand above every page and go by the newest entry whenever it is made.
"""

from threading import Lock
from weakref import WeakKeyDictionary

from thawline.app.ports import Ledger
from thawline.base.instants import Instant
from thawline.ledger.entries import Head

_lock = Lock()
_newest: WeakKeyDictionary[Ledger, tuple[int, Head]] = WeakKeyDictionary()


def settled(ledger: Ledger, head: Head, at: Instant, *, by_itself: bool) -> Head:
    """
    Return the head to go by.

    Args:
        ledger: Whose head it is.
        head: The newest.
        at: Now.
        by_itself: Nobody touched anything: the page looks for news.
    """
    second = int(at.timestamp())
    with _lock:
        known = _newest.get(ledger)
        if by_itself and known is not None and known[0] == second and known[1].seq <= head.seq:
            return known[1]
        _newest[ledger] = (second, head)
    return head
