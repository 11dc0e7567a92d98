"""
What the alarm of a shipment device would have said, beside the excursion and never instead.

Such alarms were chosen so that people do not grow tired of them. A silent alarm says nothing of
a vial: a reading of 8.1 °C is an excursion under a device that waits for ten hours.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from thawline.base.errors import RuleError
from thawline.base.quantities import millicelsius
from thawline.rules.cold import DeviceAlarm, Reach, Side
from thawline.store.bounds import Flags, Steps, steps, worst_and_mildest
from thawline.store.lasting import Lasted, in_all, in_one_go
from thawline.store.limits import Limit
from thawline.store.tidy import Tidy

_MS = timedelta(milliseconds=1)


class Alarmed(StrEnum):
    """Whether a device that saw these readings would have given its alarm."""

    SOUNDED = "sounded"
    SILENT = "silent"
    NOT_KNOWN = "not-known"  # what was seen does not reach it, what was not seen could


@dataclass(frozen=True, slots=True)
class DeviceAnswer:
    """
    One alarm rule looked at over a record; it clears nothing.

    Args:
        name: Of the rule in the protocol.
        rule: Itself, with item, device and source.
        alarmed: What it says.
        lasted_ms: From the first to the last reading beyond, in one event or in all.
        at_most_ms: The same, had every gap been beyond too.
        sounded_at_ms: The reading at which it was reached; None unless it sounded.
    """

    name: str
    rule: DeviceAlarm
    alarmed: Alarmed
    lasted_ms: int
    at_most_ms: int
    sounded_at_ms: int | None


def device_answers(tidy: Tidy, rules: Mapping[str, DeviceAlarm]) -> tuple[DeviceAnswer, ...]:
    """Return what each device alarm says of a record, in the protocol's order."""
    return tuple(_answer(tidy, name, rule) for name, rule in rules.items())


def _answer(tidy: Tidy, name: str, rule: DeviceAlarm) -> DeviceAnswer:
    limit = _last_silent(rule)
    found = steps(tidy.settled, tidy.interval_ms, limit, 0)
    beyond = limit.is_beyond(worst_and_mildest(tidy.settled, limit.side)[0])
    both = beyond[:-1] & beyond[1:] & ~found.gap
    seen = _lasted(found, both, beyond, rule)
    at_most = _lasted(found, both | found.gap, beyond, rule)
    alarmed = _alarmed(seen, at_most, rule)
    return DeviceAnswer(
        name=name,
        rule=rule,
        alarmed=alarmed,
        lasted_ms=seen.ms,
        at_most_ms=at_most.ms,
        sounded_at_ms=seen.until_ms if alarmed is Alarmed.SOUNDED else None,
    )


def _last_silent(rule: DeviceAlarm) -> Limit:
    """
    Return the last temperature that does not count; temperatures are whole thousandths.

    Raises:
        RuleError: The rule names both sides.
    """
    if rule.side is Side.OUTSIDE:
        raise RuleError(
            f"a device alarm looks at one side, and {rule.item} says outside",
            advice="write above or below, each as a rule of its own",
        )
    at_mc = millicelsius(rule.at_c)
    if not rule.at_c_counts:
        return Limit(rule.side, at_mc)
    return Limit(rule.side, at_mc - 1 if rule.side is Side.ABOVE else at_mc + 1)


def _lasted(found: Steps, counted: Flags, beyond: Flags, rule: DeviceAlarm) -> Lasted:
    enough = _enough_ms(rule)
    if rule.reach is Reach.CUMULATIVE:
        return in_all(found, counted, enough)
    return in_one_go(found, counted, beyond, enough)


def _alarmed(seen: Lasted, at_most: Lasted, rule: DeviceAlarm) -> Alarmed:
    enough = _enough_ms(rule)
    if seen.until_ms is not None and seen.ms >= enough:
        return Alarmed.SOUNDED
    could = at_most.until_ms is not None and at_most.ms >= enough
    return Alarmed.NOT_KNOWN if could else Alarmed.SILENT


def _enough_ms(rule: DeviceAlarm) -> int:
    """Return the shortest time that sounds it, in whole milliseconds."""
    lasts = rule.lasts.longest() // _MS
    return lasts if rule.lasts_counts else lasts + 1
