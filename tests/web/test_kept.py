"""What pages keep for a minute, and when they ask anew."""

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
