"""
Every figure of a file in two units, beside the one in print.

A slip that looks right in one unit looks odd in the other: -25 °F is -31.67 °C, 5 mL is
5000 µL, 2.5 h is 150 min.
"""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

from thawline.base.durations import Allowance
from thawline.base.quantities import celsius, fahrenheit
from thawline.rules.audit import edition_for, figure_keys
from thawline.rules.published import Published
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, in_words, item_of, shown, unit_of
from thawline.rules.weights import KG_PER_LB

# By definition (NIST SP 811, Appendix B.8): an inch is 25.4 mm.
_MM_PER_INCH = Decimal("25.4")
_UL_PER_ML = 1000
_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Both:
    """One figure with its unit, the same in another unit, and what is printed; None: none."""

    item: str
    key: str
    figure: str
    other: str | None
    published: str | None
    edition: str | None
    source: str | None


def in_both_units(leaves: Leaves, published: Published) -> tuple[Both, ...]:
    """
    Return each figure of a file in both units, in the file's order.

    Raises:
        RuleError: The file names an edition that there is not.
    """
    edition = edition_for(leaves, published)
    figures = edition.figures if edition else {}
    sources = edition.sources if edition else {}
    return tuple(
        Both(
            item_of(leaves, key) or "",
            key,
            with_unit(key, leaves[key]),
            in_other_unit(key, leaves[key]),
            with_unit(key, figures[key]) if key in figures else None,
            edition.name if edition and key in figures else None,
            sources.get(key),
        )
        for key in figure_keys(leaves)
    )


def with_unit(key: str, leaf: Leaf) -> str:
    """Return a figure with the unit that its key says."""
    unit = unit_of(key, leaf)
    if isinstance(leaf, Allowance) or unit is None:
        return shown(leaf)
    return f"{shown(leaf)} {_degrees(unit)}"


def in_other_unit(key: str, leaf: Leaf) -> str | None:
    """Return a figure in the other unit people use for it; None for what only counts."""
    if isinstance(leaf, Allowance):
        return _length(leaf)
    if not isinstance(leaf, int | Decimal):
        return None
    number = Decimal(leaf)
    converted = {
        "C": (fahrenheit(number), "F"),
        "F": (celsius(number), "C"),
        "mL": (number * _UL_PER_ML, "µL"),
        "in": (number * _MM_PER_INCH, "mm"),
        "lb": (number * KG_PER_LB, "kg"),
        "kg": (number / KG_PER_LB, "lb"),
        "s": (number / 60, "min"),
    }.get(unit_of(key, leaf) or "")
    if converted is None:
        return None
    value, unit = converted
    rounded = value.quantize(_HUNDREDTH)
    return f"{shown(rounded)} {_degrees(unit)}"


def _length(length: Allowance) -> str:
    """Return a length in words; never days as hours: day 28 is not 672 hours."""
    if length.days or length.elapsed < timedelta(hours=1):
        return in_words(length)
    return f"{in_words(length)} = {length.elapsed // timedelta(minutes=1)} min"


def _degrees(unit: str) -> str:
    return f"°{unit}" if unit in {"C", "F"} else unit
