"""Signing a thaw plan: two people, each by their own entry, the plan that they looked at."""

from dataclasses import dataclass

from thawline.app.acts import Doing, Outcome, act, needs_second
from thawline.app.plans import Ask, Planned, plan_for_site
from thawline.app.ports import Site
from thawline.base.errors import RecordError
from thawline.base.instants import to_ms
from thawline.ledger.entries import Decision, View
from thawline.ledger.plan_events import PlanSigned

_PERMILLE = 1000


@dataclass(frozen=True, slots=True)
class LookedAt:
    """What the two people had before them: the vials, and the bookings behind them."""

    vials: int
    booked: int


def sign_plan(site: Site, doing: Doing, ask: Ask, seen: LookedAt) -> Outcome:
    """
    Record that two people signed the plan of a day.

    Raises:
        RecordError: The plan is another one now than the one they looked at.
        SecondPersonError: There is no second person by their own entry.
    """
    second = needs_second(doing, "a thaw plan")
    planned = plan_for_site(site, ask)
    now = LookedAt(planned.plan.planned_vials, planned.plan.booked)
    if now != seen:
        raise RecordError(
            f"the plan changed: {now.vials} vials for {now.booked} bookings now, and you "
            f"looked at {seen.vials} for {seen.booked}",
            advice="look at it again, then sign",
        )
    event = _event(planned, ask, second.name)

    def decide(_view: View) -> Decision:
        return Decision(event, planned.findings, planned.ref)

    return act(site, doing, {"command": "plan sign", "day": event.day}, decide)


def _event(planned: Planned, ask: Ask, second: str) -> PlanSigned:
    plan, as_of = planned.plan, planned.day.as_of
    return PlanSigned(
        day=planned.day.day.isoformat(),
        vials=plan.planned_vials,
        low=plan.vials.low,
        likely=plan.vials.likely,
        high=plan.vials.high,
        booked=plan.booked,
        service_permille=round(_PERMILLE * ask.service),
        no_show=planned.no_show.says,
        second=second,
        as_of_ms=None if as_of is None else to_ms(as_of),
    )
