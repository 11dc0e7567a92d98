"""The pictures of a staffed day: the wait fan and the doses against plan, drawn and printed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta

from thawline.adapters.many_days import side_by_side
from thawline.cli.staff_options import Wanted
from thawline.cli.staff_page import Clock
from thawline.draw.doses_ahead import DosesAhead, doses_text
from thawline.draw.fan import LEVELS, Fan, fan_text
from thawline.draw.staff_day import staff_day_svg
from thawline.plan.day_ahead import doses_by, expected_by, waits_min
from thawline.plan.same_days import Late, late_by_staffing
from thawline.plan.staffing import Kept

_DAYS = (0.05, 0.5, 0.95)  # 9 in 10 days lie between the outer two


@dataclass(frozen=True, slots=True)
class Pictures:
    """Both pictures of a day."""

    fan: Fan
    doses: DosesAhead

    def svg(self) -> str:
        """Return them on one page."""
        return staff_day_svg(self.fan, self.doses)

    def text(self) -> Sequence[str]:
        """Return them for a terminal."""
        return ("", *fan_text(self.fan), "", *doses_text(self.doses))


def pictures(kept: Kept, wanted: Wanted, clock: Clock, what: str, *, demo: bool) -> Pictures:
    """Return the pictures of a staffing; `what` names the day in their titles."""
    day, halves = kept.day, len(kept.day.stations[0].servers)
    ends = tuple(clock(half) for half in range(halves + 1))
    says = f"{kept.outcome.days:,} simulated days, seed {wanted.seed}."
    waits = waits_min(LEVELS, _counted(kept, wanted))
    fan = Fan(
        title=f"Wait from arrival to dose, {what}",
        ends=ends,
        waits_min=waits,
        promise_min=wanted.within_min,
        share=wanted.share,
        says=says,
        demo=demo,
    )
    doses = DosesAhead(
        title=f"Doses given against plan, {what}",
        ends=ends,
        planned=expected_by(day, halves),
        given=tuple((low, half, high) for low, half, high in doses_by(kept.outcome, _DAYS)),
        says=says,
        demo=demo,
    )
    return Pictures(fan, doses)


def _counted(kept: Kept, wanted: Wanted) -> Callable[[timedelta], Late]:
    """Return what counts waits longer than a limit on the days of the staffing."""
    staffing = tuple(station.servers for station in kept.day.stations)

    def longer(limit: timedelta) -> Late:
        def some(_: Sequence[int], first: int, days: int) -> Late:
            return late_by_staffing(kept.day, [staffing], wanted.seed, (first, days), limit)

        return side_by_side(some, lambda *_: None)([0], 0, kept.outcome.days)

    return longer
