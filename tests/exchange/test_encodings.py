"""The characters behind a file's bytes; the bytes are written by Python's own codecs."""

import codecs

import pytest
from hypothesis import given
from hypothesis import strategies as st

from thawline.base.errors import ExchangeError
from thawline.exchange.encodings import decoded

TEXT = "name;time\nJosé Peña;09:30\n"


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        (TEXT.encode(), "UTF-8"),
        (codecs.BOM_UTF8 + TEXT.encode(), "UTF-8 with a byte order mark"),
        (codecs.BOM_UTF16_LE + TEXT.encode("utf-16-le"), "UTF-16"),
        (codecs.BOM_UTF16_BE + TEXT.encode("utf-16-be"), "UTF-16"),
        (TEXT.encode("utf-16-le"), "UTF-16"),
        (TEXT.encode("utf-16-be"), "UTF-16"),
        (codecs.BOM_UTF32_LE + TEXT.encode("utf-32-le"), "UTF-32"),
        (TEXT.encode("cp1252"), "Windows-1252"),
    ],
    ids=["utf-8", "bom", "16 le bom", "16 be bom", "16 le", "16 be", "utf-32", "western"],
)
def test_each_way_of_writing_names_is_found_and_said(raw, shown):
    found = decoded(raw)

    assert (found.text, found.encoding) == (TEXT, shown)


@pytest.mark.parametrize("asked", ["windows-1252", "WINDOWS_1252", "mac-roman", "utf-16-le"])
def test_an_encoding_that_is_asked_for_is_taken(asked):
    codec = {"mac-roman": "mac_roman", "utf-16-le": "utf-16-le"}.get(asked, "cp1252")

    assert decoded(TEXT.encode(codec), asked).text == TEXT


def test_an_asked_utf_8_leaves_no_byte_order_mark_in_the_first_header():
    assert decoded(codecs.BOM_UTF8 + TEXT.encode(), "utf-8").text == TEXT


@pytest.mark.parametrize(
    ("raw", "asked", "says"),
    [
        (b"", None, "empty"),
        (b" \r\n\t\n", None, "empty"),
        (b"\xd0\xcf\x11\xe0rest", None, "old spreadsheet"),
        (b"a\0\0\0b\0", None, "zero bytes"),
        (b"\x89PNG\0\x0d\x0a\x1a", None, "zero bytes"),
        (b"caf\x8d", None, "line 1: not Windows-1252: byte 4 of the line is 0x8d"),
        (b"ok\nJos\xe9\n", "utf-8", "line 2: not UTF-8: byte 4 of the line is 0xe9"),
        (b"name", "esperanto", "unknown encoding"),
        (b"a\0b", "windows-1252", "zero bytes"),
        (codecs.BOM_UTF16_LE + b"a", None, "not UTF-16"),
    ],
)
def test_what_is_no_text_is_refused(raw, asked, says):
    with pytest.raises(ExchangeError, match=says):
        decoded(raw, asked)


def test_a_file_that_is_utf_8_only_in_places_is_asked_about():
    mixed = "Begoña\n".encode() + "José\n".encode("cp1252")

    with pytest.raises(ExchangeError, match="line 2") as caught:
        decoded(mixed)

    assert "--encoding" in caught.value.advice


@given(st.text(min_size=1).filter(lambda text: text.strip() and "\0" not in text))
def test_whatever_is_written_in_utf_8_is_read_back(text):
    if text.startswith("\ufeff"):
        text = text.removeprefix("\ufeff") or "x"

    assert decoded(codecs.BOM_UTF8 + text.encode()).text == text


@pytest.mark.parametrize(
    ("raw", "codec"),
    [
        (codecs.BOM_UTF8 + b"hora", "utf-8"),
        (codecs.BOM_UTF16_BE + "hora".encode("utf-16-be"), "utf-16-be"),
        ("temp °C".encode("cp1252"), "cp1252"),
    ],
    ids=["a mark before UTF-8", "a mark before UTF-16", "a western machine"],
)
def test_the_codec_reads_what_follows_the_mark(raw, codec):
    assert decoded(raw).codec == codec
