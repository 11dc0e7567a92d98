"""The trace of a storage unit for a page: the night and the day, gaps never joined."""

from thawline.app.followed_readings import FollowedReadings
from thawline.app.in_force import in_force
from thawline.app.looked_at import look, question_about
from thawline.base.errors import RecordError
from thawline.base.instants import Instant, from_ms, to_ms
from thawline.draw.trace_record import Shown, trace_of
from thawline.draw.trace_svg import trace_svg
from thawline.store.fold import UNIT, UnitState
from thawline.store.nights import night_of
from thawline.store.readings import Readings, readings
from thawline.store.units import StorageUnit
from thawline.web.around import Around


def unit_trace(round_: Around, unit: StorageUnit) -> str:
    """
    Return the picture of a unit since the last night began, or of its last readings before.

    Empty where no reading of it was ever taken here. Hand readings are circles.

    Raises:
        RuleError: The protocol has no such band.
    """
    by_hand = _by_hand(round_, unit.name)
    seen = FollowedReadings(round_.site, "").of(unit.name)
    shown = seen if len(seen) else by_hand
    come = shown.at_ms[shown.at_ms <= to_ms(round_.at)]
    if not len(come):
        return ""
    since, until = began(round_), round_.at
    if int(come.max()) < to_ms(since):
        until = from_ms(int(come.max()))
        since = _a_day_before(until)
    rules = in_force(round_.site, round_.view, until)
    question = question_about(rules.protocol, unit.band, unit.accuracy_c)
    try:
        looked = look(shown, question, None, since, until)
    except RecordError:
        return ""
    title = f"{unit.title or unit.name}, {round_.site.name}"
    return trace_svg(
        trace_of(
            looked.tidy,
            looked.exposure,
            Shown(
                title=title,
                zone=round_.zone,
                limits=question.limits,
                since=since,
                until=until,
                by_hand=by_hand,
                demo=round_.site.demo,
            ),
        ),
        f"trace-{unit.name}",
    )


def began(round_: Around) -> Instant:
    """Return when the last night began; a day ago where nobody said when nights are."""
    if round_.site.night is None:
        return _a_day_before(round_.at)
    night = night_of(round_.site.night, round_.at, round_.zone)
    if night.starts <= round_.at:
        return night.starts
    before = from_ms(to_ms(night.day_began) - 1)
    return night_of(round_.site.night, before, round_.zone).starts


def _a_day_before(at: Instant) -> Instant:
    return from_ms(to_ms(at) - _DAY_MS)


_DAY_MS = 24 * 60 * 60 * 1000


def _by_hand(round_: Around, unit: str) -> Readings:
    told = round_.view.one(UNIT, unit) or UnitState()
    return readings([row.hi_ms for row in told.hand], [row.temp_mc for row in told.hand])
