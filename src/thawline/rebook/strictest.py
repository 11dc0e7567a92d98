"""
One rule for a dose that may have been given under any of several versions.

Where only the day is known, or two times on either side of a change of version, nobody can say
which version counted. What comes of it is then as strict as each of them.
"""

from collections.abc import Sequence
from datetime import timedelta

from msgspec.structs import replace

from thawline.base.durations import Allowance
from thawline.rules.protocol import SecondDose


def strictest(rules: Sequence[SecondDose]) -> SecondDose:
    """
    Return a rule as strict as every one of them, at least one; of one, that rule.

    The latest day to book from and to be valid from, the earliest to be late after, though
    never before it is due; a dose too early is repeated where any of them repeats it, after
    the longest of their intervals. Item and source are those of the latest to be valid from.
    """
    if len(rules) == 1:
        return rules[0]
    valid_from = max(map(_valid_from, rules))
    earliest = max(rule.earliest.days for rule in rules)
    late_after = max(earliest, min(rule.late_after.days for rule in rules))
    repeats = [rule for rule in rules if rule.repeat_when_too_early]
    spacing = [rule.repeat_after.days for rule in repeats if rule.repeat_after]
    return replace(
        max(rules, key=_valid_from),
        earliest=_days(earliest),
        grace_for_judging=_days(earliest - valid_from),
        late_after=_days(late_after),
        repeat_when_too_early=bool(repeats),
        repeat_after=_days(max(spacing)) if spacing else None,
    )


def _valid_from(rule: SecondDose) -> int:
    return rule.earliest.days - rule.grace_for_judging.days


def _days(count: int) -> Allowance:
    return Allowance(count, timedelta())
