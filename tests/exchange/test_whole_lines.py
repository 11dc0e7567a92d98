"""Of a file that is being written, only lines that have an end are read."""

import pytest

from thawline.exchange.whole_lines import whole_lines


@pytest.mark.parametrize(
    ("content", "whole"),
    [
        (b"02:00,8.4\n02:05,8", b"02:00,8.4\n"),
        (b"02:00,8.4\n02:05,8.6\n", b"02:00,8.4\n02:05,8.6\n"),
        (b"02:00,8.4\r\n02:05,8", b"02:00,8.4\r\n"),
        (b"02:00,8.4\r02:05,8", b"02:00,8.4\r"),
        (b"02:00,8", b""),
        (b"", b""),
    ],
    ids=["half a number", "finished", "two-sign ends", "old ends", "no end at all", "empty"],
)
def test_a_line_without_an_end_waits(content, whole):
    assert whole_lines(content) == whole


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be"])
def test_lines_of_two_byte_characters_are_cut_between_characters(encoding):
    mark = "\ufeff"
    first = f"{mark}02:00;8,4\r\n".encode(encoding)

    assert whole_lines(first + "02:05;8".encode(encoding)) == first
    assert whole_lines(first) == first
    assert whole_lines(f"{mark}02:00".encode(encoding)) == b""


def test_a_letter_whose_byte_looks_like_an_end_is_no_end():
    text = "\ufeffa\n\u0a41\u410a".encode("utf-16-le")

    assert whole_lines(text) == "\ufeffa\n".encode("utf-16-le")
