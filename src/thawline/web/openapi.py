"""The tablets' interface in the words of OpenAPI, made from the registry of acts."""

from functools import cache
from typing import Any

import msgspec
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_GET

from thawline.web.acts import PageAct, acts
from thawline.web.pressed import Asked, Refusal, Told

_ANSWERS = {
    "400": "Not an act at all",
    "401": "Nobody is logged in",
    "403": "The table of rights says no, or asks for a PIN or a second person",
    "404": "It is about something that is not here",
    "409": "The rules forbid it; the refusal is kept",
    "422": "A field is not what it should be, or the id stands for another act",
    "503": "Nothing was recorded, or nobody knows; repeat with the same id",
}


@require_GET
def described(request: HttpRequest) -> HttpResponse:
    """Return the description."""
    del request
    return JsonResponse(description())


@cache
def description() -> dict[str, Any]:
    """Return the interface as OpenAPI 3.1 has it."""
    forms = [act.form for act in acts().values()]
    schemas, parts = msgspec.json.schema_components(
        [Asked, Told, Refusal, *forms], ref_template="#/components/schemas/{name}"
    )
    asked, told, refusal, *of_forms = schemas
    return {
        "openapi": "3.1.0",
        "info": {"title": "thawline, a site's acts", "version": "1"},
        "paths": {
            f"/api/act/{act.name}": _path(act, _with_form(asked, form), told, refusal)
            for act, form in zip(acts().values(), of_forms, strict=True)
        },
        "components": {"schemas": parts},
    }


def _with_form(asked: dict[str, Any], form: dict[str, Any]) -> dict[str, Any]:
    return {"allOf": [asked, {"type": "object", "properties": {"form": form}}]}


def _path(
    act: PageAct, asked: dict[str, Any], told: dict[str, Any], refusal: dict[str, Any]
) -> dict[str, Any]:
    return {
        "post": {
            "operationId": act.name,
            "summary": act.name.replace("-", " "),
            "x-right": act.action,
            "requestBody": {"required": True, "content": _json(asked)},
            "responses": {
                "200": {"description": "Recorded; the receipt", "content": _json(told)},
                **{
                    status: {"description": says, "content": _json(refusal)}
                    for status, says in _ANSWERS.items()
                },
            },
        }
    }


def _json(schema: dict[str, Any]) -> dict[str, Any]:
    return {"application/json": {"schema": schema}}
