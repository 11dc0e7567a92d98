"""What a long command says about how far it is, and to whom."""

import io
from datetime import timedelta

import pytest

from thawline.base.instants import Instant, read_instant
from thawline.cli.progress import Progress

NOON = read_instant("2026-02-03T12:00:00-06:00")


class Terminal(io.StringIO):
    """A stream that people look at."""

    def isatty(self):
        """Say that somebody looks."""
        return True


class Watch:
    """A clock that the test sets, in seconds after noon."""

    def __init__(self):
        self.seconds = 0.0

    def now(self):
        """Return the time it was set to."""
        return Instant(NOON + timedelta(seconds=self.seconds))


@pytest.fixture(name="watch")
def _watch():
    return Watch()


def _shown(stream, watch, *calls):
    progress = Progress(stream, "acts", watch.now)
    for seconds, done in calls:
        watch.seconds = seconds
        progress.show(done, 1_000)
    return progress, stream.getvalue()


def test_nothing_is_said_in_the_first_second(watch):
    assert not _shown(Terminal(), watch, (0.9, 100))[1]


def test_after_a_second_it_says_how_many_are_done_and_how_long_it_takes(watch):
    assert _shown(Terminal(), watch, (10, 412))[1] == "\r412 of 1,000 acts, about 14 s left"


def test_more_than_a_minute_is_said_in_minutes(watch):
    assert _shown(Terminal(), watch, (30, 100))[1].endswith("about 4 min left")


def test_it_is_not_said_more_often_than_four_times_a_second(watch):
    said = _shown(Terminal(), watch, (10, 412), (10.2, 420), (10.3, 424))[1]

    assert said.count("left") == 2


def test_nothing_is_said_to_a_file_or_a_pipe(watch):
    progress, said = _shown(io.StringIO(), watch, (10, 412))
    progress.end()

    assert not said
    assert not progress.stream.getvalue()


def test_the_line_is_wiped_away_at_the_end(watch):
    progress, said = _shown(Terminal(), watch, (10, 412))
    progress.end()

    assert progress.stream.getvalue() == f"{said}\r{' ' * (len(said) - 1)}\r"
