"""Work beside the pages: asked for once, shown when it is there, said when it failed."""

from threading import Event

import pytest

from thawline.base.errors import RecordError
from thawline.web import jobs


@pytest.fixture(autouse=True)
def _no_earlier_work(monkeypatch):
    """Begin with no work of another test."""
    monkeypatch.setattr(jobs, "_jobs", {})


def over(found: jobs.Job) -> jobs.Job:
    """Wait for the worker: whatever is asked for next begins only after it."""
    jobs.job("after", object(), lambda _tell: None)
    jobs._workers.submit(lambda: None).result(timeout=30)
    return found


def test_two_pages_that_ask_the_same_have_the_work_done_once():
    calls = []
    first = jobs.job("play", 1, lambda _tell: calls.append(1))
    again = jobs.job("play", 1, lambda _tell: calls.append(2))
    assert first is again
    over(first)
    assert calls == [1]


def test_what_came_of_it_is_there_when_it_is_done():
    found = over(jobs.job("play", 2, lambda _tell: 42))
    assert (found.done, found.result, found.fault) == (True, 42, "")


def test_how_far_it_is_can_be_seen_while_it_goes_on():
    go, seen = Event(), Event()

    def work(tell):
        tell("200 of 500 days")
        seen.set()
        go.wait(30)

    found = jobs.job("play", 3, work)
    assert seen.wait(30)
    assert (found.says, found.done) == ("200 of 500 days", False)
    go.set()
    over(found)


def test_each_step_is_news_for_the_pages_that_wait():
    before = jobs.news()
    over(jobs.job("play", 4, lambda tell: tell("half")))
    assert jobs.news() >= before + 2


def test_what_cannot_be_done_is_said_with_what_to_do():
    def work(_tell):
        raise RecordError("no draw table is on record", advice="ask about the chairs")

    found = over(jobs.job("play", 5, work))
    assert (found.done, found.fault) == (
        True,
        "no draw table is on record. ask about the chairs",
    )


def test_a_fault_of_ours_does_not_leave_a_page_waiting_for_ever():
    found = over(jobs.job("play", 6, lambda _tell: 1 / 0))
    assert (found.done, found.fault) == (True, "Something went wrong here. Ask again.")
