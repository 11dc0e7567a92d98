"""What is sent smaller is, when Python's own gzip unpacks it, what is sent plain."""

import gzip

import pytest
from tests.cast import ROWAN

from thawline.base.roles import Role

PACKED = {"HTTP_ACCEPT_ENCODING": "gzip, deflate, br"}


def sent(hall, path: str, **how):
    """Return the answer to somebody who did not come in, and its bytes, of a file too."""
    answer = hall.get(hall.browser(), path, **how)
    found = b"".join(answer) if answer.streaming else answer.content
    answer.close()
    return answer, found


@pytest.mark.parametrize("path", ["/static/web/site.css", "/static/web/live.js", "/worker.js"])
def test_a_file_is_the_same_when_unpacked_and_under_half_as_long(hall, path):
    (plain, as_it_is), (small, packed) = (sent(hall, path, **how) for how in ({}, PACKED))
    assert small["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed) == as_it_is
    assert int(small["Content-Length"]) == len(packed) < len(as_it_is) / 2
    assert "Accept-Encoding" in plain["Vary"]


def test_a_page_is_packed_and_keeps_its_tag(hall):
    browser = hall.browser(ROWAN, Role.SITE_LEAD)
    page = hall.get(browser, "/today", **PACKED)
    assert gzip.decompress(page.content).startswith(b"<!doctype html>")
    tagged = {**PACKED, "HTTP_IF_NONE_MATCH": page["ETag"]}
    assert hall.get(browser, "/today", **tagged).status_code == 304


def test_what_is_packed_twice_is_not_always_of_one_length(hall):
    lengths = {len(sent(hall, "/static/web/site.css", **PACKED)[1]) for _ in range(20)}
    assert len(lengths) > 1


def test_who_takes_no_gzip_and_what_is_a_typeface_are_sent_plain(hall):
    refused = {"HTTP_ACCEPT_ENCODING": "br, gzip;q=0"}
    assert not sent(hall, "/static/web/site.css", **refused)[0].has_header("Content-Encoding")
    typeface = sent(hall, "/static/web/type/next-400.woff2", **PACKED)[0]
    assert not typeface.has_header("Content-Encoding")
