"""What is answered when something is refused, not found or wrong: what to do about it."""

from collections.abc import Callable
from functools import wraps
from logging import getLogger
from typing import Any

from django.core.exceptions import RequestDataTooBig, SuspiciousOperation
from django.http import Http404, HttpRequest, HttpResponse

from thawline.base.errors import (
    BusyError,
    IndeterminateError,
    NotFoundError,
    RefusedError,
    ThawlineError,
)
from thawline.web.denied import DeniedError
from thawline.web.languages.chosen import rendered
from thawline.web.refusals import Refusal, answer, is_of_tablets

_log = getLogger("thawline.web")
_STATUS: tuple[tuple[type[ThawlineError], int], ...] = (
    (NotFoundError, 404),
    (RefusedError, 409),
    (BusyError, 503),
    (IndeterminateError, 503),
    (ThawlineError, 422),
)
BUSY, RETRY_S = 503, "2"
"""The status of HTTP for a server that cannot now, and after how long to ask again."""
TOO_MUCH = 413
"""The status of HTTP for a body that is larger than the settings allow."""


def status_of(error: ThawlineError) -> int:
    """Return the HTTP status of an error of ours."""
    return next(status for kind, status in _STATUS if isinstance(error, kind))


def answered(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Return a view whose errors are pages; other faults are logged by their kind alone."""

    @wraps(view, updated=())
    def inner(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            return view(request, *args, **kwargs)
        except (DeniedError, ThawlineError) as error:
            return _page_of(request, error)
        except Http404:
            return not_found(request)
        except SuspiciousOperation as error:
            return not_a_form(request, error)
        except Exception as error:  # noqa: BLE001 - the last net: nothing of it is shown
            _log.error("%s at %s", type(error).__name__, request.path_info.split("/")[1])
            return went_wrong(request)

    return inner


def _page_of(request: HttpRequest, error: DeniedError | ThawlineError) -> HttpResponse:
    if isinstance(error, DeniedError):
        says = "this is not yours to do" if error.needs == "role" else "not recorded yet"
        return told(request, 403, says, str(error), "denied")
    response = told(request, status_of(error), error.says, error.advice, error.code)
    if response.status_code == BUSY:
        response["Retry-After"] = RETRY_S
    return response


def told(
    request: HttpRequest, status: int, says: str, advice: str, code: str = ""
) -> HttpResponse:
    """Return a page that says what happened and what to do; for a tablet's script JSON."""
    if is_of_tablets(request):
        return answer(Refusal(code, says, advice), status)
    return rendered(request, "told.html", {"says": says, "advice": advice}, status=status)


def stale_page(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Return the page for a form whose page was too old."""
    del reason
    advice = "Open it again and press once more."
    return told(request, 403, "This page is too old", advice, "stale")


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Return the page for an address that is nothing."""
    del exception
    return told(request, 404, "There is no such page", "Use the menu.", "no-page")


def went_wrong(request: HttpRequest) -> HttpResponse:
    """Return the page for a fault of ours."""
    advice = "Nothing was lost. Try again."
    return told(request, 500, "Something went wrong here", advice, "internal")


def not_a_form(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Return the page for what no page of ours sends, or more than any of ours does."""
    if isinstance(exception, RequestDataTooBig):
        return told(request, TOO_MUCH, "This is too much at once", "Send less.", "too-much")
    return told(request, 400, "This is not a page's form", "Open the page again.", "form")
