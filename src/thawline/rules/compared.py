"""
Whether the figures of a file are the published ones, and if not, on which side of them.

Equality is asked for, not containment: -25 to -15 °F lies inside -50 to -15 °C and is still a
slip. A stricter figure is said and stands in nobody's way; any other difference stops.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from enum import Enum

from thawline.base.durations import Allowance
from thawline.base.findings import Level
from thawline.rules.compared_screening import QUESTIONS
from thawline.rules.published import Edition
from thawline.rules.shape import Leaf
from thawline.rules.slips import Leaves, Slip, spoken_figure, unit_of


class _Stricter(Enum):
    """Which way from the published figure is the safe one."""

    LESS = "less"
    MORE = "more"
    NEITHER = "neither"


_SAFE_WAY = {
    "low_c": _Stricter.MORE,
    "high_c": _Stricter.LESS,
    "allows": _Stricter.LESS,
    "takes": _Stricter.MORE,
    "then_room": _Stricter.MORE,
    "stays": _Stricter.MORE,
    "earliest": _Stricter.MORE,
    "grace_for_judging": _Stricter.LESS,
    "repeat_after": _Stricter.MORE,
    "most": _Stricter.LESS,
    "most_vials": _Stricter.LESS,
    "most_doses": _Stricter.LESS,
    "least_doses": _Stricter.MORE,
}
# Matters of the place or the presentation: a difference is worth a look.
_LOCAL = frozenset(
    {
        "product.doses_per_vial.value",
        "product.fill_volume_ml.value",
        "schedule.dose_2.late_after",
    }
)
# Without one of these a vial would have no limit at all.
_NEEDED = "clocks."
# Without one of these something cannot be answered, and the answer says so.
_WANTED = ("schedule.dose_2.repeat_when_too_early",)


@dataclass(frozen=True, slots=True)
class _Compared:
    key: str
    ours: Leaf
    theirs: Leaf


def differences(leaves: Leaves, edition: Edition) -> Iterator[Slip]:
    """Yield each figure that differs from the edition, and each limit that is missing."""
    for key, theirs in edition.figures.items():
        ours = leaves.get(key)
        if _by_other_means(key) or key.startswith(QUESTIONS):
            continue
        if ours is None:
            yield from _absent(leaves, key, theirs, edition)
        elif ours != theirs:
            yield _different(_Compared(key, ours, theirs), edition)


def _by_other_means(key: str) -> bool:
    """Say whether the figure repeats another one: °F is held against °C by `rules.degrees`."""
    return key.endswith("_f")


def _different(pair: _Compared, edition: Edition) -> Slip:
    safe = _is_stricter(pair)
    local = pair.key in _LOCAL
    level = Level.CHECK if safe or local else Level.STOP
    ours, theirs = (spoken_figure(pair.key, leaf) for leaf in (pair.ours, pair.theirs))
    says = f"{pair.key} is {ours}; published {edition.name}: {theirs}"
    return Slip(
        "differs-from-source",
        level,
        pair.key,
        f"{says} (here stricter)" if safe else says,
        value=pair.ours,
        unit=unit_of(pair.key, pair.ours),
    )


def _is_stricter(pair: _Compared) -> bool:
    way = _SAFE_WAY.get(pair.key.rpartition(".")[2], _Stricter.NEITHER)
    ours, theirs = _size(pair.ours), _size(pair.theirs)
    if isinstance(pair.ours, bool):
        return pair.ours is False and pair.key.endswith(".may")
    if way is _Stricter.NEITHER or ours is None or theirs is None:
        return False
    return ours < theirs if way is _Stricter.LESS else ours > theirs


def _size(leaf: Leaf | None) -> Decimal | None:
    if isinstance(leaf, Allowance):
        return Decimal(leaf.longest() // timedelta(seconds=1))
    return Decimal(leaf) if isinstance(leaf, int | Decimal) else None


def _absent(leaves: Leaves, key: str, theirs: Leaf, edition: Edition) -> Iterator[Slip]:
    says = f"{key} is missing; published {edition.name}: {spoken_figure(key, theirs)}"
    unit = unit_of(key, theirs)
    if key.startswith("caps."):
        if not _cannot_bind(leaves, theirs):
            yield Slip("missing-item", Level.STOP, key, says, unit=unit)
    elif key.startswith(_NEEDED):
        yield Slip("missing-item", Level.STOP, key, says, unit=unit)
    elif key.startswith(_WANTED) or _is_forbidden_by_absence(leaves, key):
        yield Slip("missing-item", Level.CHECK, key, says, unit=unit)


def _is_forbidden_by_absence(leaves: Leaves, key: str) -> bool:
    """Say whether a way of carrying is listed without a time, which forbids it."""
    return key.startswith("transport.by.") and key.replace(".allows", ".item") in leaves


def _cannot_bind(leaves: Leaves, cap: Leaf) -> bool:
    """Say whether room and open time together stay within the joint cap anyway."""
    room, opened = (_size(leaves.get(f"clocks.{name}.allows")) for name in ("room", "open"))
    total = _size(cap)
    if room is None or opened is None or total is None:
        return False
    return room + opened <= total
