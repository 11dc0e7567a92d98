"""What is drawn of a count beside the number expected, with what it was held against."""

from collections.abc import Sequence

from thawline.draw.seen_expected import Mark, Picture
from thawline.report.plainly import against_words
from thawline.report.reactions import StatedRate
from thawline.report.seen import Row


def seen_picture(
    says: str, rows: Sequence[Row], rate: StatedRate, source: str, *, demo: bool = False
) -> Picture:
    """Return what is drawn of the rows; `source` is the title of where the rate is from."""
    return Picture(
        title=f"{says}: seen against expected",
        marks=[_mark(row) for row in rows],
        says=(
            f"Expected: doses so far times {rate.cases:,}/{rate.doses:,}, {rate.definition} "
            f"({source})."
        ),
        demo=demo,
    )


def _mark(row: Row) -> Mark:
    if row.hidden or row.found is None:
        return Mark(row.name, "-" if row.hidden else f"{row.seen} of ?", row.says, row.says)
    found = row.found
    return Mark(
        name=row.name,
        counts=f"{row.seen} of {found.expected:.3g}",
        says=_words(row),
        short=row.says,
        ratio=found.ratio,
        lower=found.lower,
        upper=found.upper,
        is_above=row.is_above,
    )


def _words(row: Row) -> str:
    """Return what a row says; where chance had many tries, that it is not above after all."""
    assert row.found is not None  # noqa: S101  only rows with doses are drawn
    told = against_words(row.found)
    if row.found.is_above and not row.is_above:
        return f"{told.partition(';')[0]}; among so many compared, chance may do that"
    return told
