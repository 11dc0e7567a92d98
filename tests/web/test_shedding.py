"""Too many requests at once: a few are worked on, some wait, the rest are told so at once."""

import json
from concurrent.futures import ThreadPoolExecutor
from threading import Event, Semaphore

import pytest

from thawline.web.shedding import Shedding


class Slow:
    """An application whose answers are held back until they are let go."""

    def __init__(self):
        self.begun, self.go = Semaphore(0), Event()
        self.working = self.most = 0

    def __call__(self, environ, start):
        """Answer once it may."""
        self.working += 1
        self.most = max(self.most, self.working)
        self.begun.release()
        self.go.wait(20)
        self.working -= 1
        start("200 OK", [])
        return [environ["PATH_INFO"].encode()]


def ask(application, path):
    told = []
    body = b"".join(application({"PATH_INFO": path}, lambda *heard: told.append(heard)))
    return told[0][0][:3], dict(told[0][1]), body


@pytest.fixture
def slow():
    found = Slow()
    yield found
    found.go.set()


def test_one_too_many_is_told_so_at_once_and_those_before_it_are_all_answered(slow):
    application = Shedding(slow, at_once=1, waiting=1)
    with ThreadPoolExecutor(2) as threads:
        first = threads.submit(ask, application, "/one")
        assert slow.begun.acquire(timeout=10)
        second = threads.submit(ask, application, "/two")
        while application._places._value:
            assert not second.done()
        status, headers, body = ask(application, "/api/act/draw-dose")
        assert (status, headers["Retry-After"]) == ("503", "2")
        assert json.loads(body)["says"] == "Too many at once. Nothing was recorded."
        slow.go.set()
        assert first.result()[::2] == ("200", b"/one")
        assert second.result()[::2] == ("200", b"/two")
    assert slow.most == 1


def test_a_page_is_told_in_words_and_a_place_that_was_left_is_free(slow):
    application = Shedding(slow, at_once=1, waiting=0)
    with ThreadPoolExecutor(1) as threads:
        first = threads.submit(ask, application, "/one")
        assert slow.begun.acquire(timeout=10)
        assert ask(application, "/vials")[2].decode().startswith("Too many at once.")
        slow.go.set()
        assert first.result()[0] == "200"
    assert ask(application, "/vials")[0] == "200"


def test_a_fault_gives_its_place_back():
    def breaks(*_):
        raise OSError("the disk")

    application = Shedding(breaks, at_once=1, waiting=0)
    for _ in range(2):
        with pytest.raises(OSError, match="the disk"):
            ask(application, "/vials")
