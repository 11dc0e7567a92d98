"""A made-up rule for second doses: from day 20, grace 3, late after day 30."""

from datetime import date

from msgspec.structs import replace

from thawline.base.durations import read_allowance
from thawline.rebook.series import DoseDay
from thawline.rules.protocol import SecondDose

MADE_UP = SecondDose(
    item="B1",
    earliest=read_allowance("P20D"),
    grace_for_judging=read_allowance("P3D"),
    late_after=read_allowance("P30D"),
    source="demo",
)
REPEATS = replace(MADE_UP, repeat_when_too_early=True, repeat_after=read_allowance("P20D"))
FIRST = date(2026, 2, 3)


def on(*days: date) -> list[DoseDay]:
    return [DoseDay(day, day) for day in days]


def always(rule: SecondDose):
    return lambda _day: rule
