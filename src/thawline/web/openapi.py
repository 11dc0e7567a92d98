"""The tablets' interface in the words of OpenAPI, made from the registry of acts."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import msgspec
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_GET
from msgspec import Struct

from thawline.web.acts import PageAct, acts
from thawline.web.pressed import Asked, Told
from thawline.web.refusals import API, Refusal
from thawline.web.scans import Meant, Typed
from thawline.web.shown import Newest
from thawline.web.stations.scanner_test import Learned, TwoScans
from thawline.web.tablets.words_in import Said, WasHeard

Json = dict[str, Any]
_ANSWERS = {
    "400": "Not an act at all",
    "401": "Nobody is logged in",
    "403": "The table of rights says no, or asks for a PIN or a second person",
    "404": "It is about something that is not here",
    "409": "The rules forbid it; the refusal is kept",
    "413": "More than any act of ours",
    "422": "A field is not what it should be, or the id stands for another act",
    "503": "Nothing was recorded, or nobody knows; repeat with the same id",
}


@dataclass(frozen=True, slots=True)
class _Beside:
    """One thing that a tablet asks beside its acts; `refused`: its other answers, by status."""

    name: str
    says: str
    asks: type[Struct] | None
    gets: type[Struct]
    refused: Mapping[str, type[Struct]]


_NO = {"400": Refusal, "401": Refusal, "403": Refusal, "413": Refusal, "503": Refusal}
_BESIDE = (
    _Beside("state", "the newest entry and the site's time", None, Newest, {"503": Refusal}),
    _Beside("scan", "what a scan means", Typed, Meant, {**_NO, "400": Meant, "401": Meant}),
    _Beside("scanner", "what two scans teach", TwoScans, Learned, {**_NO, "422": Learned}),
    _Beside("heard", "a tablet's word of itself", Said, WasHeard, _NO),
)


@require_GET
def described(request: HttpRequest) -> HttpResponse:
    """Return the description."""
    del request
    return JsonResponse(description())


@cache
def description() -> Json:
    """Return the interface as OpenAPI 3.1 has it."""
    asked: list[type[Struct]] = [Asked, Told, Refusal, *_of_acts(), *_of_beside()]
    kinds = dict.fromkeys(asked)
    schemas, parts = msgspec.json.schema_components(
        kinds, ref_template="#/components/schemas/{name}"
    )
    by_kind = dict(zip(kinds, schemas, strict=True))
    return {
        "openapi": "3.1.0",
        "info": {"title": "thawline, a site's acts", "version": "1"},
        "paths": {
            **{f"{API}act/{act.name}": _act(act, by_kind) for act in acts().values()},
            **{f"{API}{each.name}": _beside(each, by_kind) for each in _BESIDE},
        },
        "components": {"schemas": parts},
    }


def _of_acts() -> Iterator[type[Struct]]:
    for act in acts().values():
        yield act.form


def _of_beside() -> Iterator[type[Struct]]:
    for each in _BESIDE:
        yield from (kind for kind in (each.asks, each.gets, *each.refused.values()) if kind)


def _act(act: PageAct, by_kind: Mapping[type[Struct], Json]) -> Json:
    form = {"type": "object", "properties": {"form": by_kind[act.form]}}
    refusal = by_kind[Refusal]
    return {
        "post": {
            "operationId": act.name,
            "summary": act.name.replace("-", " "),
            "x-right": act.action,
            **_body({"allOf": [by_kind[Asked], form]}),
            "responses": {
                "200": _told("Recorded; the receipt", by_kind[Told]),
                **{status: _told(says, refusal) for status, says in _ANSWERS.items()},
            },
        }
    }


def _beside(each: _Beside, by_kind: Mapping[type[Struct], Json]) -> Json:
    told = {
        "operationId": each.name,
        "summary": each.says,
        **(_body(by_kind[each.asks]) if each.asks else {}),
        "responses": {
            "200": _told(each.says.capitalize(), by_kind[each.gets]),
            **{s: _told("Why not", by_kind[kind]) for s, kind in each.refused.items()},
        },
    }
    return {"post" if each.asks else "get": told}


def _body(schema: Json) -> Json:
    return {"requestBody": {"required": True, "content": _json(schema)}}


def _told(says: str, schema: Json) -> Json:
    return {"description": says, "content": _json(schema)}


def _json(schema: Json) -> Json:
    return {"application/json": {"schema": schema}}
