"""Whom a site calls about an alert: its chain as it is printed, who is due, who answered."""

from datetime import timedelta
from zoneinfo import ZoneInfo

from thawline.app.ports import Site
from thawline.app.watching import Watched
from thawline.base.instants import Instant, from_ms, local_time, to_ms
from thawline.store.alert_fold import ToldAlert, ToldAnswer
from thawline.store.alerts import Alert
from thawline.store.calls import Call, calls, due_calls, printed_chain

NO_CHAIN = "Nobody is in the call chain of this site: thawline site chain"
_MS = timedelta(milliseconds=1)


def calls_by(site: Site, what: Watched, told: ToldAlert, now: Instant) -> tuple[Call, ...]:
    """Return the calls about an alert that are due by now, the newest last."""
    after = _next_after(what)
    return due_calls(calls(site.calls, told.calls_from, after, told.answered), now)


def chain_lines(site: Site, what: Watched, told: ToldAlert) -> list[str]:
    """Return the call chain of an alert as it is printed beside it, and who took it on."""
    if not site.calls:
        return [NO_CHAIN]
    after = _next_after(what)
    lines = printed_chain(site.calls, told.calls_from, after, told.answered, site.zone)
    return [*lines, *(answer_line(each, site.zone) for each in told.answers)]


def not_on_record(alert: Alert, now: Instant) -> ToldAlert:
    """Return an alert that nothing on record tells of yet."""
    return ToldAlert(
        alert.cause,
        alert.since_ms,
        alert.raised_ms,
        to_ms(now),
        alert.temp_mc,
        alert.cleared_ms,
    )


def answer_line(told: ToldAnswer, zone: ZoneInfo) -> str:
    """Return who answered, when, and what they said."""
    at = local_time(from_ms(told.at_ms), zone).strftime("%H:%M")
    return f"Answered {at} by {told.by}{'' if told.takes else ', who cannot go'}: {told.says}"


def _next_after(what: Watched) -> timedelta | None:
    after = what.figures.next_call_ms
    return None if after is None else after * _MS
