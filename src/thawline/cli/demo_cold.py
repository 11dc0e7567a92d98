"""The tour's nights: the freezer that warms on Monday, and the logger's gap on Thursday."""

from collections.abc import Iterator, Sequence
from datetime import timedelta
from textwrap import wrap
from typing import Any

from thawline.app.call_chain import answer_line
from thawline.app.following import Line
from thawline.app.watching import alerts_of
from thawline.base.durations import spoken
from thawline.base.findings import Finding
from thawline.base.instants import Instant, local_date
from thawline.cli.answers import BARS
from thawline.cli.demo_text import alerts, part
from thawline.cli.text import WIDTH, clock_time, day_name
from thawline.demo.building import Built
from thawline.demo.cold_store import Watch
from thawline.draw.trace import Trace
from thawline.draw.trace_text import trace_text
from thawline.store.warming import Warming

_MARGIN = 3  # columns by which the page sets its pictures in
_MINUTE_MS = 60_000

_BELOW = 84  # letters that stand below a line, inside the page of 100


def parts(built: Built) -> Iterator[list[str]]:
    """Yield both nights."""
    yield _freezer(built)
    yield _fairground(built)


def cold_data(built: Built) -> dict[str, Any]:
    """Return the figures of both nights."""
    above = built.fairground.above
    return {
        "freezer_vials_held": len(built.freezer_night.vials),
        "fairground_vials_held": len(built.fairground.vials),
        "at_least_min": above.at_least_ms // _MINUTE_MS,
        "at_most_min": -(-above.at_most_ms // _MINUTE_MS),
    }


def _freezer(built: Built) -> list[str]:
    night = built.freezer_night
    day = local_date(night.held_at, built.site.zone)
    count = len(night.vials)
    return part(
        f"10. {day_name(day)}, {built.place.title}: the freezer warms in the night",
        f"{_at(night.asked, built)}, asked from the readings so far: "
        f"{_inspect(night.warming, built)}",
        list(_lines(night.watch, built)),
        f"{_at(night.held_at, built)}: {count} vials are held, then moved to the fridge. "
        "Put back into a freezer?",
        alerts(night.refrozen.findings),
        _picture(night.trace),
        f"{_at(night.told_at, built)}: told by phone to discard all {count}; as many come.",
    )


def _fairground(built: Built) -> list[str]:
    night = built.fairground
    least, most = night.above.at_least_ms, night.above.at_most_ms
    return part(
        f"11. {day_name(night.day)}, {night.place.title}: a gap in the record, then warm",
        list(_lines(night.watch, built)),
        _picture(night.trace),
        f"{_at(night.held_at, built)}: {len(night.vials)} vials are held. Above 8 °C at least "
        f"{_length(least)}, at most {_length(most)}: what the gap hides counts as out.",
        f"As pages: {night.watch.file.with_suffix('.svg').parent}",
    )


def _inspect(found: Warming, built: Built) -> str:
    left = found.left
    if left is None or left.earliest is None:
        return "too little to tell."
    late = "perhaps not within a day" if left.latest is None else _at(left.latest, built)
    early = _at(left.earliest, built)
    return f"inspect by {early}; at its limit then at the earliest, at the latest {late}."


def _calls(watch: Watch) -> Sequence[Line]:
    """Return the lines that somebody must hear; those of new readings alone are left out."""
    return [line for line in watch.lines if line.finding is not None or "call" in line.says]


def _lines(watch: Watch, built: Built) -> Iterator[str]:
    for line in _calls(watch):
        yield from wrap(
            f"{_at(line.at, built)} {_worded(line.finding, line.says)}",
            WIDTH - _MARGIN,
            subsequent_indent="      ",
            break_on_hyphens=False,
        )
        for below in line.below:
            lines = wrap(below, _BELOW, break_long_words=False, break_on_hyphens=False)
            yield from (f"      {text}" for text in lines)
    for told in alerts_of(watch.site, watch.logger.unit.name):
        yield from (answer_line(each, watch.site.zone) for each in told.answers)


def _worded(found: Finding | None, says: str) -> str:
    return says if found is None else f"{BARS[found.level]} {found.level.capitalize()}: {says}"


def _picture(trace: Trace) -> Sequence[str]:
    """Return a picture without its DEMO line, which the page has, as wide as the page."""
    return trace_text(trace, WIDTH - _MARGIN)[1:]


def _length(length_ms: int) -> str:
    return spoken(timedelta(milliseconds=length_ms))


def _at(at: Instant, built: Built) -> str:
    return clock_time(at, built.site.zone, local_date(at, built.site.zone))
