"""
What every answer carries: nothing from elsewhere runs, nothing is framed, nothing is kept.

Source: W3C, Content Security Policy Level 3.
"""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

_POLICY = "; ".join(
    [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types own",
    ]
)


class Headers:
    """Adds the headers; pages with people on them are kept by no cache."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponse]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer with its headers."""
        response = self._answer(request)
        response["Content-Security-Policy"] = _POLICY
        response["Permissions-Policy"] = "camera=(self), microphone=(), geolocation=()"
        if not response.has_header("Cache-Control"):
            response["Cache-Control"] = "no-store"
        return response
