"""A vial as it stands, as the strip that a picture shows of it."""

from thawline.app.standings import Stood
from thawline.base.instants import from_ms
from thawline.draw.strips import Strip
from thawline.vial.reckon import State
from thawline.vial.story import What


def strip_of(each: Stood) -> Strip:
    """Return the strip of a vial that was opened; held ones and past ones too."""
    opened = next(row for row in each.vial.rows if row.what is What.OPEN)
    return Strip(
        code=each.code,
        doses=max(each.vial.left, 0),
        opened=from_ms(opened.lo_ms),
        use_by=each.reckoning.use_by,
        held=each.reckoning.state is State.HELD,
    )


def was_opened(each: Stood) -> bool:
    """Say whether a vial was opened and is not done with."""
    opened = any(row.what is What.OPEN for row in each.vial.rows)
    return opened and each.reckoning.state is not State.DISCARDED
