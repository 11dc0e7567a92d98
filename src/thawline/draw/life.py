"""
A vial's life as a row of textures, each with its word and the time it began; not to scale.

Frozen is dots, thawing dots that fade, chilled slanted lines, warming chevrons, ready upright
lines, open one line a dose that ends where it was drawn, held a cross-hatch, discarded an empty
box with one stroke. The word always stands beside the texture.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from thawline.base.instants import Instant
from thawline.draw.ink import INK, PAPER
from thawline.draw.sheet import Sheet
from thawline.draw.svg import Box, Said, document, element, line, rectangle, words

_HEIGHT, _TOP, _GAP = 56.0, 26.0, 6.0
_LEAST, _WIDE = 150.0, 260.0
_ROW = 124.0  # from one row to the next: its word, its texture, its time
_STEP, _DOT, _THIN = 12.0, 2.0, 2.0
_TEXT, _TIME = 17.0, 15.0
_MONO = "Atkinson Hyperlegible Mono, monospace"


@dataclass(frozen=True, slots=True)
class Span:
    """
    One state of a vial.

    Args:
        state: Its word.
        began: The time it began, as people write it.
        since: That time.
        until: When it ended, or the present.
    """

    state: str
    began: str
    since: Instant
    until: Instant


@dataclass(frozen=True, slots=True)
class Lived:
    """A vial's life; `doses` is what it held at first, `draws` when each was drawn."""

    code: str
    spans: Sequence[Span]
    doses: int
    draws: Sequence[Instant]


def life_svg(lived: Lived, sheet: Sheet | None = None) -> str:
    """Return the picture: in one row, or in as many as a sheet needs."""
    body: list[str] = []
    left, top, right = 0.0, _TOP, _LEAST
    for span in lived.spans:
        wide = _WIDE if span.state == "open" else _LEAST
        if sheet and left + wide > sheet.width:
            left, top = 0.0, top + _ROW
        box = Box(left, top, left + wide, top + _HEIGHT)
        body += [
            words(span.state, (left, top - 8), _TEXT, font_weight="bold"),
            *_textured(span, lived, box),
            words(span.began, (left, box.bottom + _TEXT + 4), _TIME, font_family=_MONO),
        ]
        left += wide + _GAP
        right = max(right, left)
    says = ", ".join(f"{span.state} since {span.began}" for span in lived.spans)
    said = Said(
        f"life{sheet.name if sheet else ''}",
        f"Vial {lived.code}",
        f"{says or 'nothing is known'}. Not to scale.",
    )
    size = sheet.width if sheet else right, top + _HEIGHT + 2 * _TEXT
    return document(size, said, body)


def _textured(span: Span, lived: Lived, box: Box) -> Iterator[str]:
    yield rectangle(box, fill=PAPER, stroke=INK, stroke_width=_THIN)
    if span.state == "open":
        yield from _threads(span, lived, box)
    else:
        yield from _TEXTURES[span.state](box)


def _threads(span: Span, lived: Lived, box: Box) -> Iterator[str]:
    """Yield one line a dose, from the bottom; a drawn one ends at its draw."""
    whole = max((span.until - span.since).total_seconds(), 1.0)
    rows = max(lived.doses, len(lived.draws), 1)
    pitch = box.height / rows
    ends = [min(1.0, max(0.0, (at - span.since).total_seconds() / whole)) for at in lived.draws]
    shares = [*sorted(ends), *[1.0] * (rows - len(ends))]
    for row, share in enumerate(shares):
        y = box.top + (row + 0.5) * pitch
        end = (box.left + share * box.width, y)
        yield line((box.left, y), end, stroke=INK, stroke_width=max(_THIN, pitch / 2))


def _dots(box: Box) -> Iterator[str]:
    yield from _dotted(box, fading=False)


def _fading(box: Box) -> Iterator[str]:
    yield from _dotted(box, fading=True)


def _dotted(box: Box, *, fading: bool) -> Iterator[str]:
    across, down = int(box.width // _STEP), int(box.height // _STEP)
    for column in range(across):
        left = 1 - column / across if fading else 1
        for row in range(down):
            x, y = box.left + (column + 0.5) * _STEP, box.top + (row + 0.5) * _STEP
            yield element("circle", cx=x, cy=y, r=max(_DOT * left, 0.4), fill=INK)


def _slant(box: Box) -> Iterator[str]:
    for x in _steps(box):
        yield line((x, box.bottom), (x + _STEP, box.top), stroke=INK, stroke_width=_THIN)


def _upright(box: Box) -> Iterator[str]:
    for x in _steps(box):
        yield line((x, box.top), (x, box.bottom), stroke=INK, stroke_width=_THIN)


def _chevrons(box: Box) -> Iterator[str]:
    middle = (box.top + box.bottom) / 2
    for x in _steps(box):
        for y in (box.top, box.bottom):
            yield line((x, y), (x + _STEP, middle), stroke=INK, stroke_width=_THIN)


def _crossed(box: Box) -> Iterator[str]:
    yield from _slant(box)
    for x in _steps(box):
        yield line((x, box.top), (x + _STEP, box.bottom), stroke=INK, stroke_width=_THIN)


def _struck(box: Box) -> Iterator[str]:
    yield line((box.left, box.bottom), (box.right, box.top), stroke=INK, stroke_width=_THIN)


def _steps(box: Box) -> Iterator[float]:
    yield from (box.left + n * _STEP for n in range(int(box.width // _STEP)))


_TEXTURES: dict[str, Callable[[Box], Iterator[str]]] = {
    "frozen": _dots,
    "thawing": _fading,
    "chilled": _slant,
    "warming": _chevrons,
    "ready": _upright,
    "held": _crossed,
    "discarded": _struck,
}
