"""The storage units as pages show them: asked once a minute, or when something was recorded."""

from thawline.app.followed_readings import FollowedReadings
from thawline.app.unit_list import UnitList, unit_list
from thawline.base.findings import Finding
from thawline.web.around import Around
from thawline.web.here import folder
from thawline.web.kept import kept_a_minute


def units_now(round_: Around) -> UnitList:
    """Return every unit, what has to be seen to, and the night."""

    def ask() -> UnitList:
        return unit_list(round_.site, FollowedReadings(round_.site, ""), round_.at)

    return kept_a_minute("units", round_.view.head, round_.at, ask)


def units_say(round_: Around) -> tuple[Finding, ...]:
    """Return what has to be seen to of the units, up to a minute old; for other screens."""

    def ask() -> tuple[Finding, ...]:
        return units_now(round_).alerts

    return kept_a_minute("units say", folder(), round_.at, ask)
