"""Who waits for another page's answer gives their turn away, and takes one before going on."""

from concurrent.futures import ThreadPoolExecutor
from threading import Event, Lock, RLock, Semaphore

import pytest

from thawline.web.turns import Turns, alone


def test_while_one_waits_for_an_answer_another_works_in_its_turn():
    turns, asking = Turns(1), Lock()
    waits, order = Event(), []

    def page():
        with turns.taken():
            waits.set()
            with alone(asking):
                order.append("page")

    def act():
        with turns.taken():
            order.append("act")

    asking.acquire()
    with ThreadPoolExecutor(2) as tablets:
        page_shown = tablets.submit(page)
        assert waits.wait(10)
        try:
            tablets.submit(act).result(5)  # there is one turn, and the page waits in it
        finally:
            asking.release()
        page_shown.result(10)
    assert order == ["act", "page"]


def test_never_more_work_at_a_time_than_there_are_turns():
    turns, asking, working, most = Turns(2), RLock(), [0], [0]
    begun = Semaphore(0)

    def page():
        begun.release()
        with turns.taken():
            for _ in range(200):
                with alone(asking):
                    pass
                working[0] += 1
                most[0] = max(most[0], working[0])
                working[0] -= 1

    with ThreadPoolExecutor(8) as pages:
        done = [pages.submit(page) for _ in range(8)]
    assert [each.result(10) for each in done] == [None] * 8
    assert most[0] <= 2


@pytest.mark.parametrize("lock", [Lock, RLock])
def test_a_fault_gives_the_lock_and_the_turn_back(lock):
    turns, asking = Turns(1), lock()
    for _ in range(2):
        with pytest.raises(OSError, match="the disk"), turns.taken(), alone(asking):
            raise OSError("the disk")


def test_a_thread_may_ask_of_itself_what_it_is_asking():
    asking, asked = RLock(), []
    with Turns(1).taken(), alone(asking), alone(asking):
        asked.append("twice")
    assert asked == ["twice"]


def test_what_is_asked_outside_of_a_request_waits_as_it_is():
    asking = Lock()
    with alone(asking):
        assert asking.locked()
    assert not asking.locked()
