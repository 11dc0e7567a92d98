"""What makes a thaw plan impossible or doubtful: said by name before anything is worked out."""

from collections.abc import Iterable
from zoneinfo import ZoneInfo

from thawline.base.durations import spoken
from thawline.base.errors import RecordError
from thawline.base.findings import Finding, Level
from thawline.base.instants import Instant, local_time
from thawline.plan.moves import Keeps
from thawline.plan.thaw import ThawRule


def somebody_comes(shares: Iterable[float]) -> None:
    """
    Return if anybody booked may come.

    Raises:
        RecordError: Everybody's no-show share is 1.
    """
    if all(share >= 1 for share in shares):
        raise RecordError(
            "no-show 100 %: nobody would come, and whoever did would find no dose",
            advice="say a share below 1, as in 0.08; book nobody on a closed day",
        )


def lives_through_the_thaw(kept: Keeps, rule: ThawRule) -> None:
    """
    Return if a vial is still good when it may be opened.

    Raises:
        RecordError: Its limits end before its thaw does; the protocol cannot be right.
    """
    steps = (
        (kept.thawed, rule.in_fridge + rule.on_table, "the thaw in the refrigerator"),
        (kept.thawed, rule.straight, "the thaw on the table"),
        (kept.on_table, max(rule.on_table, rule.straight), "the time on the table"),
    )
    for keeping, takes, step in steps:
        if keeping is not None and keeping.allows <= takes:
            raise RecordError(
                f"a vial keeps {spoken(keeping.allows)} (item {keeping.item}), and {step} "
                f"takes {spoken(takes)}: no vial could be opened",
                advice="thawline protocol check FILE; ask the vaccine coordinator",
            )


def outside_hours(
    places: Iterable[Instant], hours: str, closed: Iterable[bool], zone: ZoneInfo
) -> tuple[Finding, ...]:
    """Return a finding for places in the hours when nobody is there, the first one named."""
    found = [at for at, shut in zip(places, closed, strict=True) if shut]
    if not found:
        return ()
    first = local_time(min(found), zone).strftime("%H:%M")
    count = f"{len(found)} {'booking is' if len(found) == 1 else 'bookings are'}"
    return (
        Finding(
            Level.CHECK,
            "outside-opening-hours",
            f"{count} in hours when nobody is there ({hours}), the first at {first}. They are "
            "in the plan; correct the bookings or the site's hours.",
        ),
    )
