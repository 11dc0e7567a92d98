"""The tour's reactions: a hot hall, and one emergency at a small site."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from thawline.adapters.reaction_tables import reaction_named, shipped
from thawline.app.reactions import FAINT
from thawline.cli.demo_text import part
from thawline.cli.reaction_counts import picture_of, sentences_of
from thawline.cli.text import counted
from thawline.demo.building import Built
from thawline.demo.hot_hall import ANAPHYLAXIS, FAINTS
from thawline.draw.seen_expected import forest_text
from thawline.report.plainly import USUAL_ALPHA, compared_words
from thawline.report.reactions import StatedRate
from thawline.report.seen import Doses, Row, rows_of
from thawline.report.two_groups import Group, compared


def reactions(built: Built) -> list[str]:
    """Return the part of the page."""
    hot = built.hot_hall
    return part(
        f"16. Tue 3 Feb: {FAINTS} faints after lunch in a hot hall; Thu 5 Feb: one emergency",
        *_page(hot.faints, FAINT, "hall"),
        *_page(hot.anaphylaxis, ANAPHYLAXIS, "watched"),
        _lot_check(hot.anaphylaxis),
        f"Its report is a draft until a clinician signs it: thawline reaction report "
        f"{hot.note[:13]} --site oddmoor",
    )


def _lot_check(found: Sequence[Doses]) -> str:
    """Return how the lot after which it was seen stands against all other lots."""
    lot = next(each.lot for each in found if each.seen)
    of_lot = _group(each for each in found if each.lot == lot)
    rest = _group(each for each in found if each.lot != lot)
    says = compared_words(compared(of_lot, rest), USUAL_ALPHA)
    return (
        f"Lot {lot}: {of_lot.cases} after {counted(of_lot.doses, 'dose')}, other lots "
        f"{rest.cases} after {counted(rest.doses, 'dose')}: {says}."
    )


def _group(rows: Iterable[Doses]) -> Group:
    of = tuple(rows)
    return Group(sum(each.seen for each in of), sum(each.doses for each in of))


def reactions_data(built: Built) -> dict[str, Any]:
    """Return the figures of the reactions."""
    faints = {row.name: row for row in _rows(built.hot_hall.faints, _rate(FAINT, "hall"))}
    return {
        "faints": {name: row.seen for name, row in faints.items()},
        "faints_above": [name for name, row in faints.items() if row.is_above],
    }


def _rate(what: str, name: str) -> StatedRate:
    return next(each for each in shipped().rates if (each.code, each.name) == (what, name))


def _rows(found: Sequence[Doses], rate: StatedRate) -> tuple[Row, ...]:
    return rows_of(found, "site", Fraction(rate.cases, rate.doses))


def _page(found: Sequence[Doses], what: str, name: str) -> list[str | list[str]]:
    rate = _rate(what, name)
    picture = picture_of(reaction_named(what).says, _rows(found, rate), rate)
    return [[f"{picture.title}", *forest_text(picture)], *sentences_of(picture)]
