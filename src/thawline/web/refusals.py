"""What a tablet sends and is told where an act was not recorded: JSON, never a page."""

from typing import TypeVar

import msgspec
from django.http import HttpRequest, JsonResponse
from msgspec import Struct

API = "/api/"
"""Where every address of the tablets' interface begins."""
Body = TypeVar("Body", bound=Struct)


class Refusal(Struct, frozen=True):
    """Why an act was not recorded, and what to do."""

    error: str
    says: str
    advice: str
    needs: str = ""
    findings: list[dict[str, str | None]] = []


def is_of_tablets(request: HttpRequest) -> bool:
    """Say whether a tablet's script asks, which reads JSON alone."""
    return request.path_info.startswith(API)


def answer(told: Struct, status: int = 200) -> JsonResponse:
    """Return what a tablet is told."""
    return JsonResponse(msgspec.to_builtins(told), status=status)


def body_of(request: HttpRequest, kind: type[Body]) -> Body:
    """
    Return what a tablet sent.

    Raises:
        msgspec.DecodeError: It is not that; the message names the field.
    """
    try:
        return msgspec.json.decode(request.body, type=kind)
    except UnicodeDecodeError as error:
        raise msgspec.DecodeError("its text is not written in UTF-8") from error
    except RecursionError as error:
        raise msgspec.DecodeError("its fields lie too deep in one another") from error
