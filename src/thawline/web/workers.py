"""
The service worker, served from the top so that it may keep every page of a station.

It is told which files the pages need; when one of them changes, so does the worker, and every
tablet takes the new ones.
"""

from functools import cache
from hashlib import sha256
from json import dumps
from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

_STATIC = Path(__file__).parent / "static"
_FILE = _STATIC / "web" / "worker.js"
_NEEDED = {".css", ".js", ".svg", ".woff2"}
_DIGITS = 16


@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """Return the worker's script."""
    del request
    return HttpResponse(_script(), content_type="text/javascript")


@cache
def _script() -> str:
    files = [each for each in sorted(_STATIC.rglob("*")) if each.suffix in _NEEDED]
    form = sha256(b"".join(each.read_bytes() for each in files)).hexdigest()[:_DIGITS]
    named = [f"/static/{each.relative_to(_STATIC)}" for each in files if each != _FILE]
    script = _FILE.read_text()
    for empty, filled in (
        ("const FILES = [];", f"const FILES = {dumps(named)};"),
        ('const FORM = "";', f'const FORM = "{form}";'),
    ):
        if empty not in script:
            raise RuntimeError(f"worker.js has no line {empty!r}")
        script = script.replace(empty, filled)
    return script
