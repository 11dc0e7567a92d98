"""The inks of pictures, exchanged for the colours of the page's theme."""

from thawline.draw import ink

_NAMES = {
    ink.PAPER: "paper",
    ink.INK: "ink",
    ink.MUTED: "muted",
    ink.RULE: "rule",
    ink.FAINT: "faint",
    ink.STOP: "stop",
    ink.HAND: "hand",
}


def themed(svg: str) -> str:
    """Return a picture whose inks are the theme's variables."""
    for value, name in _NAMES.items():
        svg = svg.replace(f'"{value}"', f'"var(--{name})"')
    return svg
