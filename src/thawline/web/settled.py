"""
The place in the ledger that a page of sums goes by: the newest, or once a second for news.

A page that looks for news by itself, with nobody touching it, goes by the first head of the
second. Whoever opens such a page, or has just pressed on it, sees the newest. Holds and alerts
stand above every page and go by the newest entry whenever it is made.

Each such page has its own beginning of the second: what they add up does not come all at once.
"""

from threading import Lock
from weakref import WeakKeyDictionary

from thawline.app.ports import Ledger
from thawline.base.instants import Instant
from thawline.ledger.entries import Head

_lock = Lock()
_newest: WeakKeyDictionary[Ledger, dict[str, tuple[int, Head]]] = WeakKeyDictionary()
_LATER_S = {"today": 1 / 3, "close-out": 2 / 3}
"""By screen, how long after each whole second its own begins; others with the clock."""


def settled(
    ledger: Ledger, head: Head, at: Instant, screen: str = "", *, by_itself: bool
) -> Head:
    """
    Return the head to go by.

    Args:
        ledger: Whose head it is.
        head: The newest.
        at: Now.
        screen: Which page it is for.
        by_itself: Nobody touched anything: the page looks for news.
    """
    second = int(at.timestamp() - _LATER_S.get(screen, 0))
    with _lock:
        of_ledger = _newest.setdefault(ledger, {})
        known = of_ledger.get(screen)
        if by_itself and known is not None and known[0] == second and known[1].seq <= head.seq:
            return known[1]
        of_ledger[screen] = (second, head)
    return head
