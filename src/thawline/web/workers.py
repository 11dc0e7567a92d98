"""The service worker, served from the top so that it may keep every page of a station."""

from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

_FILE = Path(__file__).parent / "static" / "web" / "worker.js"


@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """Return the worker's script."""
    del request
    return HttpResponse(_FILE.read_text(), content_type="text/javascript")
