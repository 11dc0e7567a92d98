"""What pages keep for a minute, and when they ask anew."""

from concurrent.futures import ThreadPoolExecutor
from threading import Event
from time import sleep

import pytest
from tests.cast import at

from thawline.base.instants import Instant
from thawline.web import kept as keeping
from thawline.web.kept import kept_a_minute, kept_a_second


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch):
    """Begin without what another test left behind."""
    monkeypatch.setattr(keeping, "_of_minute", {})


def asked(about: str, second: int, minute: str = "10:00") -> int:
    """Return what is kept; a new number each time that it is asked anew."""
    COUNT.append(1)
    return kept_a_minute(
        "day", about, Instant(at(minute).replace(second=second)), COUNT.__len__
    )


COUNT: list[int] = []


def test_a_second_page_of_the_same_minute_asks_nothing_again():
    assert asked("head 7", 10) == asked("head 7", 50)


def test_a_new_entry_is_seen_at_once():
    assert asked("head 7", 10) != asked("head 8", 10)


def test_the_next_minute_asks_anew():
    assert asked("head 7", 10) != asked("head 7", 10, "10:01")


def test_a_clock_that_is_put_back_asks_anew():
    assert asked("head 7", 30) != asked("head 7", 10)


def test_what_is_kept_a_second_is_asked_anew_in_the_next():
    def seen(second: int, microsecond: int) -> list[int]:
        moment = Instant(at("10:00").replace(second=second, microsecond=microsecond))
        COUNT.append(1)
        return kept_a_second("if moved", "HK47M", moment, lambda: len(COUNT))

    first = seen(20, 1)
    assert seen(20, 999_999) == first
    assert seen(21, 0) == first + 2


def test_who_asks_while_somebody_asks_the_same_waits_for_that_answer():
    began, asked = Event(), []

    def slowly() -> int:
        asked.append(1)
        began.set()
        sleep(0.1)
        return len(asked)

    moment = Instant(at("10:00"))
    with ThreadPoolExecutor(3) as pages:
        first = pages.submit(kept_a_second, "vials", "head 7", moment, slowly)
        began.wait(5)
        rest = [pages.submit(kept_a_second, "vials", "head 7", moment, slowly) for _ in "ab"]
        assert [first.result(5), *(each.result(5) for each in rest)] == [1, 1, 1]


def test_what_is_asked_while_something_else_is_asked_does_not_wait_for_itself():
    moment = Instant(at("10:00"))

    def lists() -> int:
        return kept_a_second("alerts", 7, moment, lambda: 3) + 1

    with ThreadPoolExecutor(1) as page:
        assert page.submit(kept_a_second, "list", 7, moment, lists).result(5) == 4


def test_an_answer_that_failed_is_asked_again():
    moment = Instant(at("10:00"))
    with pytest.raises(ZeroDivisionError):
        kept_a_second("alerts", 8, moment, lambda: 1 // 0)
    assert kept_a_second("alerts", 8, moment, lambda: 5) == 5
