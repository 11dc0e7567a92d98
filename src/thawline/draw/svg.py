"""
SVG as plain text: elements, lines, rectangles, words. No script, no style, nothing fetched.

Source: W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 2011.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from thawline.draw.ink import FONT, INK, PAPER

Attribute = str | float
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page, in pixels from its top left corner."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """The pixels across."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """The pixels down."""
        return self.bottom - self.top


def element(name: str, *inside: str, **attributes: Attribute) -> str:
    """Return an element; an underscore in an attribute's name stands for a hyphen."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
    )
    return f"<{name}{written}>{''.join(inside)}</{name}>" if inside else f"<{name}{written}/>"


def _value(value: Attribute) -> str:
    if isinstance(value, str):
        return escape(value)
    return f"{round(value, 1):g}"


def words(text: str, at: Point, size: float, **attributes: Attribute) -> str:
    """Return words on one line, from the left unless `text_anchor` says otherwise."""
    x, y = at
    told = {"fill": INK, **attributes}
    return element("text", escape(text), x=x, y=y, font_size=size, **told)


def line(start: Point, end: Point, **attributes: Attribute) -> str:
    """Return a straight line."""
    return element("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **attributes)


def rectangle(box: Box, **attributes: Attribute) -> str:
    """Return a filled rectangle."""
    return element(
        "rect", x=box.left, y=box.top, width=box.width, height=box.height, **attributes
    )


def polyline(points: Iterable[Point], **attributes: Attribute) -> str:
    """Return straight lines from point to point, never filled."""
    written = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return element("polyline", points=written, fill="none", **attributes)


@dataclass(frozen=True, slots=True)
class Said:
    """
    What a picture says to those who do not see it.

    Args:
        name: Of the picture, for ids; letters, digits and hyphens.
        title: In a few words.
        description: All that it shows, in sentences.
    """

    name: str
    title: str
    description: str


def document(size: Point, said: Said, body: Iterable[str]) -> str:
    """Return a whole picture on white paper, with its title and description for a reader."""
    width, height = size
    title, described = f"{said.name}-title", f"{said.name}-desc"
    return element(
        "svg",
        element("title", escape(said.title), id=title),
        element("desc", escape(said.description), id=described),
        rectangle(Box(0, 0, width, height), fill=PAPER),
        *body,
        xmlns="http://www.w3.org/2000/svg",
        role="img",
        aria_labelledby=f"{title} {described}",
        width=width,
        height=height,
        viewBox=f"0 0 {width:g} {height:g}",
        font_family=FONT,
    )
