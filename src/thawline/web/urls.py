"""The addresses: screens, acts, the tablets' interface, and the door."""

from collections.abc import Callable
from functools import partial

from django.http import HttpResponse
from django.urls import URLPattern, URLResolver, path

from thawline.web import openapi, pressed, rehearsing, scans, shown, touch, workers
from thawline.web.acts import acts
from thawline.web.answers import answered
from thawline.web.languages import chosen
from thawline.web.screens import Screen, screens
from thawline.web.staff.urls import ADDRESSES
from thawline.web.stations import scanner_test
from thawline.web.tablets import words_in


def _at(address: str, view: Callable[..., HttpResponse], name: str) -> URLPattern:
    return path(address, answered(view), name=name)


def _screen(screen: Screen) -> URLPattern:
    address = f"{screen.path}/<str:{screen.takes}>" if screen.takes else screen.path
    return _at(address, partial(shown.show, screen=screen), screen.path)


urlpatterns: list[URLPattern | URLResolver] = [
    _at("", shown.own, "own"),
    _at("nothing-yet", shown.nothing_yet, "nothing-yet"),
    _at("theme", shown.set_theme, "theme"),
    _at("language", chosen.set_language, "language"),
    _at("touch", touch.set_touch, "touch"),
    *[_screen(screen) for screen in screens().values()],
    *[_at(f"act/{n}", partial(pressed.by_form, act=a), f"act-{n}") for n, a in acts().items()],
    *[
        _at(f"api/act/{n}", partial(pressed.by_tablet, act=a), f"api-{n}")
        for n, a in acts().items()
    ],
    _at("api/state", shown.state, "api-state"),
    _at("api/scan", scans.scan, "api-scan"),
    _at("api/scanner", scanner_test.learn, "api-scanner"),
    _at("api/heard", words_in.heard, "api-heard"),
    _at("api/openapi.json", openapi.described, "openapi"),
    _at("rehearsal", rehearsing.rehearse, "rehearsal"),
    _at("worker.js", workers.worker, "worker"),
    *[_at(address, view, address) for address, view in ADDRESSES],
]
handler400 = "thawline.web.answers.not_a_form"
handler404 = "thawline.web.answers.not_found"
handler500 = "thawline.web.answers.went_wrong"
