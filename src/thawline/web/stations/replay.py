"""Replay: a day of the record with one thing changed, and what that does, with its interval."""

import re
from dataclasses import dataclass
from datetime import timedelta

from django.http import HttpRequest, HttpResponse

from thawline.app.replay_asked import FIGURES
from thawline.app.replay_changes import Changed
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, local_time, read_date
from thawline.plan.half_hours import HALF_HOUR
from thawline.plan.replay_change import Difference
from thawline.web.around import Around, around
from thawline.web.jobs import job
from thawline.web.pages import page
from thawline.web.replays import CHANGES, DAYS, PROMISE, SEED, Wanted, played
from thawline.web.screens import Screen
from thawline.web.words import read_clock

_FIELDS = ("day", "change", "number", "since", "until")
_MINUTE_S = 60


@dataclass(frozen=True, slots=True)
class Row:
    """One figure, as it was and changed, and the difference with its interval."""

    name: str
    before: str
    after: str
    by: str


def show(request: HttpRequest) -> HttpResponse:
    """Return the question, how far it is played, or what came of it."""
    asked = {name: request.GET.get(name, "").strip() for name in _FIELDS}
    with around(request) as round_:
        told: dict[str, object] = {"asked": asked, "changes": CHANGES.items()}
        if asked["change"]:
            told |= _answer(round_, asked)
        return page(request, round_, "replay", told)


def _answer(round_: Around, asked: dict[str, str]) -> dict[str, object]:
    wanted, site = _wanted(round_, asked), round_.site
    found = job("replay", (wanted, round_.today), lambda tell: played(site, wanted, tell))
    if not found.done or found.fault:
        return {"working": not found.done, "fault": found.fault, "far": found.says}
    changed: Changed = found.result
    return {
        "changed": changed,
        "rows": rows(changed, round_),
        "days": changed.days,
        "seed": SEED,
        "whole": changed.days >= DAYS,
        "promise_min": PROMISE // timedelta(minutes=1),
    }


_NUMBER = re.compile(r"-?\d{1,4}", re.ASCII)


def _wanted(round_: Around, asked: dict[str, str]) -> Wanted:
    number = asked["number"] or "0"
    if not _NUMBER.fullmatch(number):
        raise RecordError(
            f"{number[:10]!r} is no whole number of up to 4 digits", advice="as in 1 or -1"
        )
    return Wanted(
        day=read_date(asked["day"]) if asked["day"] else round_.today,
        change=asked["change"],
        number=int(number),
        since=read_clock(asked["since"]) if asked["since"] else None,
        until=read_clock(asked["until"]) if asked["until"] else None,
    )


def rows(changed: Changed, round_: Around) -> list[Row]:
    """Return every figure; the worst half hour stands after the two waits."""
    found = [
        Row(FIGURES[name], *_cells(name, each, changed, round_))
        for name, each in changed.found.items()
    ]
    starts = Instant(changed.replay.begins + changed.half * HALF_HOUR)
    ends = Instant(starts + HALF_HOUR)
    clocks = " to ".join(_clock(at, round_) for at in (starts, ends))
    worst = _cells("mean_wait_s", changed.worst, changed, round_)
    found.insert(2, Row(f"mean wait of those ready {clocks}, min", *worst))
    return found


def _cells(
    name: str, each: Difference, changed: Changed, round_: Around
) -> tuple[str, str, str]:
    by = each.by
    per = _MINUTE_S if name.endswith("_s") else 1
    low, high = ("?" if v is None else f"{v / per:+.1f}" for v in (by.low, by.high))
    unit = " min" if per == _MINUTE_S else ""
    says = f"{by.value / per:+.1f}{unit} ({low} to {high})".replace("-", "\N{MINUS SIGN}")
    begins = changed.replay.begins
    return (
        _shown(name, each.before, begins, round_),
        _shown(name, each.after, begins, round_),
        says,
    )


def _shown(name: str, value: float | None, begins: Instant, round_: Around) -> str:
    if value is None:
        return "?"
    if name == "last_dose_s":
        return _clock(Instant(begins + timedelta(seconds=round(value))), round_)
    return f"{value / _MINUTE_S:.1f}" if name.endswith("_s") else f"{value:,.1f}"


def _clock(at: Instant, round_: Around) -> str:
    return local_time(at, round_.zone).strftime("%H:%M")


SCREENS = (Screen("replay", "Replay", "plan", show),)
