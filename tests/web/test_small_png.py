"""A small picture is the picture: read again by rules of its own, it has the same pixels."""

import struct
import zlib

import numpy as np
from tools.small_png import COLOURS, small_png

WHITE, INK, HAND = (255, 255, 255), (18, 22, 26), (59, 31, 160)


def read_again(png: bytes):
    """Read a palette PNG by the published layout (ISO/IEC 15948:2004, 5.3 and 11.2)."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    parts, at = {}, 8
    while at < len(png):
        (size,) = struct.unpack(">I", png[at : at + 4])
        name, data = png[at + 4 : at + 8], png[at + 8 : at + 8 + size]
        (sum_,) = struct.unpack(">I", png[at + 8 + size : at + 12 + size])
        assert sum_ == zlib.crc32(name + data)
        parts[name] = data
        at += 12 + size
    width, height = struct.unpack(">II", parts[b"IHDR"][:8])
    palette = np.frombuffer(parts[b"PLTE"], dtype=np.uint8).reshape(-1, 3)
    rows = np.frombuffer(zlib.decompress(parts[b"IDAT"]), dtype=np.uint8)
    return palette[rows.reshape(height, width + 1)[:, 1:]]


def test_a_page_of_few_colours_comes_back_as_it_was():
    page = np.full((7, 11, 3), WHITE, dtype=np.uint8)
    page[2:4, 3:9] = INK
    page[5, :2] = HAND
    assert np.array_equal(read_again(small_png(page)), page)


def test_of_too_many_colours_each_takes_the_nearest_of_the_frequent_ones():
    page = np.zeros((COLOURS, 20, 3), dtype=np.uint8)
    page[:, :, 0] = np.arange(COLOURS)[:, None] * 2
    page[0, 0] = (3, 0, 0)  # one more than fit; it lies between 2 and 4
    again = read_again(small_png(page))
    assert again[0, 0].tolist() in ([2, 0, 0], [4, 0, 0])
    assert np.array_equal(again[1:], page[1:])
