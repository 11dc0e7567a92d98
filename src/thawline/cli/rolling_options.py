"""What is asked of the rolling thaw, beside the plan."""

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from cyclopts import Parameter

from thawline.base.errors import RecordError
from thawline.cli.amounts import walk_ups_of

if TYPE_CHECKING:  # the rolling thaw brings SciPy, and the plan itself needs none
    from thawline.app.rolling import AskRolling
    from thawline.plan.rolling import SurplusPrices


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Rolling:
    """
    The plan asked again and again through the day, with days that differ and walk-ups.

    Parameters
    ----------
    rolling
        Say what to move now, the target at each asking, and what plain rules would cost.
    again_min
        Minutes until the plan is asked again.
    person_price
        What a person without a dose costs, in doses; with both surplus prices.
    fridge_price
        What a dose thawed too many in the refrigerator costs, in doses.
    table_price
        What a dose too many on the table costs, in doses.
    day_spread
        How the no-show share differs from day to day: 0.03 for 3 points, 0 for not at all;
        learned if left out, and the widest where there is too little to learn from.
    walk_ups_per_hour
        People who come without a booking; learned from earlier days if left out.
    days
        Days to play for the prices.
    seed
        The seed of the days that are played.
    """

    rolling: bool = False
    again_min: int = 30
    person_price: float | None = None
    fridge_price: float | None = None
    table_price: float | None = None
    day_spread: float | None = None
    walk_ups_per_hour: float | None = None
    days: int = 2_000
    seed: int = 1

    def asked(self) -> "AskRolling | None":
        """Return what is asked; None when nothing is, RecordError when it is half said."""
        if not self.rolling:
            if self != Rolling():
                raise RecordError("these options ask for the rolling thaw", advice="--rolling")
            return None
        from thawline.app.rolling import AskRolling  # noqa: PLC0415  as needed

        return AskRolling(
            again=timedelta(minutes=self.again_min),
            prices=self._prices(),
            day_spread=self.day_spread,
            walk_ups_an_hour=walk_ups_of(self.walk_ups_per_hour),
            days=self.days,
            seed=self.seed,
        )

    def _prices(self) -> "SurplusPrices | None":
        said = (self.person_price, self.fridge_price, self.table_price)
        if said == (None, None, None):
            return None
        if self.person_price is None or self.fridge_price is None or self.table_price is None:
            raise RecordError(
                "not all prices are said",
                advice="--person-price, --fridge-price and --table-price go together",
            )
        from thawline.plan.rolling import SurplusPrices  # noqa: PLC0415  as needed

        return SurplusPrices(self.person_price, self.fridge_price, self.table_price)


NOT_ROLLING = Rolling()
