"""Square codes as pictures, for paper and screens; made here, without a network."""

from io import BytesIO

import segno
from django.utils.safestring import SafeString, mark_safe

_SCALE = 6
_QUIET = 4
"""Modules of quiet round a code. Source: ISO/IEC 18004, 9.1 (four modules)."""


def square(text: str) -> SafeString:
    """Return a square code of the text as SVG, black on white in every theme."""
    out = BytesIO()
    code = segno.make_qr(text.encode("ascii"), error="m")
    code.save(
        out,
        kind="svg",
        scale=_SCALE,
        border=_QUIET,
        xmldecl=False,
        svgns=True,
        dark="#000000",
        light="#FFFFFF",
        nl=False,
    )
    return mark_safe(out.getvalue().decode())  # noqa: S308  made above, of modules alone
