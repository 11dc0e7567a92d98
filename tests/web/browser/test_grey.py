"""
The three levels of an alert on a photocopy: told apart by bars, fill and word, with no hue.

The slabs are drawn by the page's own template and style in a real browser, photographed, made
grey by the luminance of WCAG 2.2 ("relative luminance"); the bars are counted along one row of
pixels. That the count can fail is shown with a style that hides the bars, or fills all alike.
"""

from base64 import b64encode
from itertools import groupby, pairwise
from pathlib import Path

import pytest

from thawline.base.findings import Finding, Level
from thawline.web.pages import THEMES
from thawline.web.slabs import slab

pytestmark = pytest.mark.browser
STYLE = Path("src/thawline/web/static/web/site.css")
BARS = {"stop": 3, "act": 2, "check": 1}
"""The design, section 3.3: word, count of bars, lightness of the fill, colour."""
LEAST_APART = 1.5
"""Between two fills in grey; below it a copier may not tell them apart: a choice of ours."""
NO_BARS = ".slab .bars i { background: transparent !important; }"
ALL_ALIKE = ".slab { background: #B00E2E !important; color: #FFFFFF !important; }"
LUMINANCES = """
async (photo) => {
  const image = new Image();
  image.src = `data:image/png;base64,${photo}`;
  await image.decode();
  const [width, height] = [image.naturalWidth, image.naturalHeight];
  const canvas = Object.assign(document.createElement("canvas"), { width, height });
  const brush = canvas.getContext("2d");
  brush.drawImage(image, 0, 0);
  const { data } = brush.getImageData(0, Math.floor(height / 2), width, 1);
  const light = (value) => value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  return Array.from({ length: width }, (_, x) => {
    const pixel = [...data.slice(4 * x, 4 * x + 3)];
    const [red, green, blue] = pixel.map((each) => light(each / 255));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  });
}
"""


def slabs_page(theme: str, more: str = "") -> str:
    """Return a page with a slab of each level, as the site draws it."""
    from django.template.loader import render_to_string  # noqa: PLC0415  after the settings

    said = [slab(Finding(Level(level), "x", "fridge 2 is warm. Look at it.")) for level in BARS]
    drawn = render_to_string("slabs.html", {"slabs": said})
    still = ".slab { animation: none !important; margin: 8px; }"
    return (
        f'<html data-theme="{theme}"><style>{STYLE.read_text()}{still}{more}</style>'
        f"<body>{drawn}</body></html>"
    )


@pytest.fixture(scope="module")
def glass(chromium):
    """A browser's page that shows what it is given."""
    context = chromium.new_context(viewport={"width": 800, "height": 600})
    yield context.new_page()
    context.close()


def in_grey(glass, theme: str, more: str = "") -> dict[str, list[float]]:
    """Return of each level's slab the luminances along its middle, from left to right."""
    glass.set_content(slabs_page(theme, more))
    photos = {level: glass.locator(f".slab.{level}").screenshot() for level in BARS}
    return {
        level: glass.evaluate(LUMINANCES, b64encode(photo).decode())
        for level, photo in photos.items()
    }


def contrast(one: float, other: float) -> float:
    """Return the contrast of two luminances. Source: WCAG 2.2, "contrast ratio"."""
    light, dark = max(one, other), min(one, other)
    return (light + 0.05) / (dark + 0.05)


def fill(row: list[float]) -> float:
    """Return the luminance of the slab's ground, behind its edge and before its first bar."""
    return row[10]


def bars(row: list[float]) -> int:
    """Count the bars: runs that stand out from the ground before the text begins."""
    ground = fill(row)
    seen = [contrast(each, ground) > LEAST_APART for each in row[10:58]]
    return sum(1 for stands_out, _ in groupby(seen) if stands_out)


def least_apart(grey: dict[str, list[float]]) -> float:
    """Return the smallest contrast between the fills of two levels that are told by it."""
    fills = [fill(row) for row in grey.values()]
    return min(contrast(one, other) for one, other in pairwise(fills))


@pytest.mark.parametrize("theme", THEMES)
def test_the_levels_are_told_apart_by_bars_and_fill_without_any_hue(theme, glass):
    grey = in_grey(glass, theme)
    assert {level: bars(row) for level, row in grey.items()} == BARS
    assert least_apart(grey) >= LEAST_APART


@pytest.mark.parametrize("theme", THEMES)
def test_each_level_says_its_word(theme, glass):
    glass.set_content(slabs_page(theme))
    said = [glass.inner_text(f".slab.{level} .what").split(":")[0] for level in BARS]
    assert said == ["Stop", "Act", "Check"]


@pytest.mark.parametrize("theme", THEMES)
def test_without_its_bars_no_level_would_pass_for_itself(theme, glass):
    grey = in_grey(glass, theme, NO_BARS)
    assert [bars(row) for row in grey.values()] == [0, 0, 0]


@pytest.mark.parametrize("theme", THEMES)
def test_with_one_fill_for_all_the_levels_would_not_be_told_apart(theme, glass):
    assert least_apart(in_grey(glass, theme, ALL_ALIKE)) < LEAST_APART
