"""What every answer carries, and what Django itself says about the settings."""

import pytest
from django.conf import settings
from django.core.management import call_command
from tests.cast import HAZEL

from thawline.base.roles import Role

PATHS = ("/door", "/enrol", "/begin", "/today", "/nothing-yet", "/no-such-page", "/worker.js")


def _policy(answer):
    parts = (part.split() for part in answer["Content-Security-Policy"].split(";"))
    return {name: words for name, *words in parts}


def test_djangos_own_check_for_deployment_finds_nothing(hall):
    call_command("check", deploy=True, fail_level="WARNING")
    assert settings.DEBUG is False


@pytest.mark.parametrize("path", PATHS)
def test_nothing_from_elsewhere_and_nothing_in_line_runs(hall, path):
    policy = _policy(hall.get(hall.browser(HAZEL, Role.SITE_LEAD), path))
    assert policy["default-src"] == ["'none'"]
    assert policy["script-src"] == policy["style-src"] == ["'self'"]
    assert policy["frame-ancestors"] == policy["base-uri"] == ["'none'"]
    assert policy["require-trusted-types-for"] == ["'script'"]
    assert not [w for words in policy.values() for w in words if "unsafe" in w or w == "*"]


@pytest.mark.parametrize("path", PATHS)
def test_no_page_is_framed_sniffed_or_kept(hall, path):
    answer = hall.get(hall.browser(HAZEL, Role.SITE_LEAD), path)
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cache-Control"] == "no-store"
    assert answer["Strict-Transport-Security"].startswith("max-age=86400")


def test_every_cookie_is_for_this_host_over_tls_only(hall):
    tablet = hall.tablet()
    hall.employ(HAZEL, Role.PREPARER)
    hall.give_pin(HAZEL, "918273")
    hall.come_in(tablet, HAZEL, pin="918273")
    hall.get(tablet, "/draw-table")
    kept = {name: c for name, c in tablet.cookies.items() if name.startswith("__Host-")}
    assert set(kept) == {"__Host-session", "__Host-csrf", "__Host-tablet"}
    assert all(c["secure"] and c["httponly"] for c in kept.values())
    assert all(
        (c["samesite"], c["path"], c["domain"]) == ("Strict", "/", "") for c in kept.values()
    )


def test_plain_http_is_sent_to_tls(hall):
    client = hall.browser()
    del client.defaults["wsgi.url_scheme"]
    assert client.get("/door").url == "https://localhost/door"


def test_a_form_from_elsewhere_is_not_taken(hall):
    client = hall.browser(HAZEL, Role.PREPARER)
    client.handler.enforce_csrf_checks = True
    for path in ("/act/hold-vial", "/api/act/hold-vial", "/door", "/lock", "/leave", "/enrol"):
        assert client.post(path, {}, secure=True).status_code == 403
