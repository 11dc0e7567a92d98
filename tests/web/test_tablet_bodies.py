"""What no tablet of ours sends is answered with what is wrong with it, and recorded nowhere."""

from uuid import UUID

import pytest
from tests.cast import BRYONY
from tests.web.people import ready

from thawline.base.roles import Role

ID = str(UUID(int=7))


@pytest.fixture
def leader(hall):
    """Somebody who may do all that one role may."""
    return hall.browser(BRYONY, *Role, station="table-1")


def _body(more: str) -> bytes:
    return f'{{"id": "{ID}", "elapsed_ms": 0, "form": {{"vial": "HK47M"}}{more}}}'.encode()


def _send(client, body: bytes, address: str = "/api/act/hold-vial"):
    return client.post(address, body, content_type="application/json", secure=True)


# The kinds of bodies are common knowledge of testing, from memory; RFC 8259 has what JSON is.
@pytest.mark.parametrize(
    ("body", "names"),
    [
        (b"", "truncated"),
        (b"{", "truncated"),
        (b"[]", "object"),
        (b"null", "object"),
        (b"\xef\xbb\xbf" + _body(""), "malformed"),
        (_body("").decode().encode("utf-16"), "malformed"),
        (_body(', "why": "\xff"').replace(b"\xc3\xbf", b"\xff"), "UTF-8"),
        (_body(', "why": "\\ud800"'), "truncated"),
        (_body(', "elapsed_ms": NaN'), "malformed"),
        (_body(', "elapsed_ms": 1e400'), "elapsed_ms"),
        (_body(', "clock_ms": ' + "9" * 30), "clock_ms"),
        (_body(', "device_seq": 9223372036854775808'), "device_seq"),
        (_body(', "device_seq": -1'), "device_seq"),
        (_body(', "why": "' + "x" * 2001 + '"'), "why"),
        (_body(', "tablet": "' + "x" * 17 + '"'), "tablet"),
        (_body(', "nobody": 1'), "nobody"),
        (_body(', "form": ' + '{"a": ' * 20_000), "deep"),
    ],
)
def test_a_body_that_is_no_act_is_refused_and_the_fault_is_named(hall, leader, body, names):
    before = len(hall.entries())
    answer = _send(leader, body)
    assert answer.status_code == 400
    assert names in answer.json()["says"]
    assert len(hall.entries()) == before


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("vial", "a\x00b", "vial has a sign in it that is no text: '\\x00'"),
        ("vial", "x" * 2001, "vial is 2,001 signs long, and at most 2,000 are kept"),
        ("doses", 10**30, "doses is too large a number: 10000000000000000000..."),
        ("doses", 1.5, "$.doses"),
        ("doses", [], "$.doses"),
        ("vial", {}, "$.vial"),
        ("nobody", "x", "nobody"),
    ],
)
def test_a_field_that_nobody_can_have_typed_is_named(hall, leader, field, value, says):
    answer = hall.send(leader, "draw-dose", {"vial": "HK47M", field: value})
    assert answer.status_code == 422
    assert says in answer.json()["says"]


def test_a_reason_with_a_nul_in_it_is_not_kept(hall, leader):
    [code] = ready(hall)
    answer = hall.send(leader, "hold-vial", {"vial": code}, why="cracked\x00")
    assert answer.status_code == 422
    assert "why has a sign in it" in answer.json()["says"]
    assert hall.press(leader, "hold-vial", vial=code, _why="cracked\x00").status_code == 422


@pytest.mark.parametrize(
    "moment",
    [
        {"elapsed_ms": 10**14},
        {"elapsed_ms": None, "clock_ms": -(10**14)},
        {"elapsed_ms": 0, "clock_ms": 0},
        {"elapsed_ms": None, "clock_ms": 10**15},
    ],
)
def test_a_time_years_off_is_nobodys_time_and_is_asked_for(hall, leader, moment):
    [code] = ready(hall)
    answer = hall.send(leader, "hold-vial", {"vial": code}, **moment)
    assert answer.status_code == 422
    assert answer.json()["needs"] == "time"


def test_more_than_any_page_sends_is_refused_as_too_much(hall, leader):
    assert hall.folder.exists()
    answer = _send(leader, _body(', "why": "' + "x" * 300_000 + '"'))
    assert answer.status_code == 413
    assert answer.json()["error"] == "too-much"


def test_a_form_larger_than_any_of_ours_is_a_page_that_says_so(hall, leader):
    page = hall.press(leader, "hold-vial", vial="x" * 300_000)
    assert page.status_code == 413
    assert "too much at once" in page.content.decode()


def test_a_stale_page_is_told_so_in_the_tablets_own_words(hall):
    client = hall.browser(BRYONY, *Role)
    client.handler.enforce_csrf_checks = True
    answer = _send(client, _body(""))
    assert answer.status_code == 403
    assert answer.json()["error"] == "stale"


def test_an_address_of_the_interface_that_is_none_is_answered_in_json(leader):
    answer = _send(leader, _body(""), "/api/act/fly")
    assert answer.status_code == 404
    assert answer.json()["error"] == "no-page"


@pytest.mark.parametrize("address", ["/api/scan", "/api/scanner", "/api/heard"])
def test_what_a_tablet_says_besides_is_looked_at_in_the_same_way(leader, address):
    for body in (b"", b'{"text": "\xff"}', b"[" * 20_000):
        assert _send(leader, body, address).status_code == 400
