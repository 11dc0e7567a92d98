"""
Makes what is sent smaller, where the browser takes it: pages, style sheets, scripts, pictures.

A first page has to come within 150 KB. What is short already is sent as it is. The length of a
compressed page tells nothing: some bytes of chance are in it, and no other site's page can ask
for one, as the session's cookie is not sent with it. Sources: RFC 9110, sections 8.4.1.3 and
12.5.3; RFC 1952; Django 5.2, "GZipMiddleware", for the chance bytes.
"""

import zlib
from collections.abc import Callable
from secrets import randbelow, token_hex
from struct import pack

from django.http import HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.utils.cache import patch_vary_headers

_KINDS = ("text/html", "text/css", "text/javascript", "image/svg+xml")
_SHORT = 1400  # about what one packet of a local network takes
_FAST = 1
_RAW = -15  # a bare stream: the head and the foot are written here
_HEAD_WITH_NAME = b"\x1f\x8b\x08\x08\x00\x00\x00\x00\x00\xff"
_MOST_CHANCE = 32
_OK = 200


class Smaller:
    """Compresses answers."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Return the answer, compressed where that is worth it and the browser takes it."""
        response = self._answer(request)
        if response.status_code != _OK or response.has_header("Content-Encoding"):
            return response
        if not response.get("Content-Type", "").startswith(_KINDS):
            return response
        patch_vary_headers(response, ("Accept-Encoding",))
        if request.method != "GET" or not _takes_gzip(request):
            return response
        return _smaller(response)


def _takes_gzip(request: HttpRequest) -> bool:
    asked = request.headers.get("Accept-Encoding", "").replace(" ", "").lower().split(",")
    return "gzip" in asked


def _smaller(response: HttpResponseBase) -> HttpResponseBase:
    if isinstance(response, StreamingHttpResponse):
        whole = HttpResponse(b"".join(response), headers=dict(response.items()))
        response.close()
    elif isinstance(response, HttpResponse):
        whole = response
    else:
        return response
    if len(whole.content) >= _SHORT:
        whole.content = _packed(whole.content)
        whole["Content-Encoding"] = "gzip"
    whole["Content-Length"] = str(len(whole.content))
    return whole


def _packed(content: bytes) -> bytes:
    """Return the content as gzip, with a name of chance length that nobody reads."""
    name = token_hex(_MOST_CHANCE).encode()[: randbelow(_MOST_CHANCE)]
    packing = zlib.compressobj(_FAST, zlib.DEFLATED, _RAW)
    packed = packing.compress(content) + packing.flush()
    foot = pack("<LL", zlib.crc32(content), len(content) & 0xFFFFFFFF)
    return _HEAD_WITH_NAME + name + b"\x00" + packed + foot
